package arrange
import ("testing";"fmt";"math/rand/v2")
func TestSizes(t *testing.T) {
		p := someStudy(rand.New(rand.NewPCG(9, 6)))
		check(&p)
		fmt.Println(p.Clamps, p.Hours, p.Away)
		for _, g := range p.Groups { fmt.Println(g) }
		m := newModel(p, 3)
		for _, g := range m.groups { fmt.Println(g.shape(1), g.limits, g.shape(2)) }
		b,ok := m.best()
		fmt.Println(b.sittings[0].starts, ok)
		sh := m.groups[1].shape(1); tb := m.table(sh, sh.chain, nil)
		for i, sl := range m.slots[:40] { fmt.Println(m.instant(sl.at).Format("Mon 15:04"), tb[0].at(i)-1774695600, tb[1].at(i)-1774695600, tb[2].at(i)-1774695600, tb[3].at(i)-1774695600) }
		q := m.greedy(); fmt.Println(q!=nil && q.last()>0)
		c:=b.calendar()
		for _, t := range c.Tasks { fmt.Println(t, t.Bonds)}
}
