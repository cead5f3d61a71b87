package tracker

import (
	"strings"
	"time"

	"soaktag/schedule"
)

// A Rule is the name of what a mark says is wrong, as people type and read it.
// It is stored with every mark that was accepted: a rule is never renamed.
type Rule string

// The rules, but for those of intervals (LapseRule) and endings (EndRule).
const (
	RuleNoStage       Rule = "no stage"
	RuleDoubleScan    Rule = "double scan"
	RuleAfterBreak    Rule = "after the break"
	RuleWrongStage    Rule = "wrong stage"
	RuleNoReading     Rule = "no reading"
	RuleRepeated      Rule = "repeated"
	RuleOutOfOrder    Rule = "out of order"
	RuleOtherPass     Rule = "other pass"
	RulePutBack       Rule = "put back"
	RuleOverGauge     Rule = "over the gauge"
	RuleLoadedBefore  Rule = "loaded before"
	RuleNotBroken     Rule = "not broken yet"
	RuleNotLost       Rule = "not lost"
	RuleBondSize      Rule = "bond size"
	RuleFuture        Rule = "in the future"
	RuleWrittenLate   Rule = "written up later"
	RuleTimeDoubt     Rule = "time in doubt"
	RuleProbableCode  Rule = "probable code"
	RulePicture       Rule = "photograph in doubt"
	RuleUnknownCode   Rule = "unknown code"
	RuleExplained     Rule = "code explained"
	RuleExchanged     Rule = "exchanged"
	RuleRelabelled    Rule = "relabelled"
	RuleClockUnknown  Rule = "clock unknown"
	RuleClockOff      Rule = "clock corrected"
	RulePartnerInBath Rule = "partner in bath"
	RuleAdded         Rule = "added"
	RuleReglued       Rule = "re-glued"
	RuleDealtTwice    Rule = "dealt twice"
	RuleAmendedApart  Rule = "amended apart"
	RuleSettledApart  Rule = "corrected apart"
	RuleGap           Rule = "entries missing"
)

// LapseRule is the rule of an interval that did not go as planned: "soak late".
func LapseRule(interval string, v schedule.Verdict) Rule { return Rule(interval + " " + v.String()) }

// EndRule is the rule of an entry about a specimen that was out of the count:
// "was lost".
func EndRule(end Ending) Rule { return Rule("was " + string(end)) }

// Is reports whether somebody means the rule by a word, in any case and with
// hyphens or spaces.
func (r Rule) Is(word string) bool { return PlainWord(string(r)) == PlainWord(word) }

// A Mark is something that looks wrong. It asks until it is accepted with a
// reason or put right.
type Mark struct {
	Rule     Rule
	About    About  // the facts, one type for each thing that can look wrong
	Remedy   Remedy // what would put it right; zero where only somebody's word can
	Asks     bool   // whether it would ask; Accepted marks no longer do
	Accepted string // the reason given; empty when not accepted
	Event    string // the event it hangs on
	Code     string // the specimen, or the code nobody knows
	At       time.Time
}

// Open reports whether m still asks.
func (m Mark) Open() bool { return m.Asks && m.Accepted == "" }

// SwapsBreak reports whether accepting m makes another try the break.
func (m Mark) SwapsBreak() bool {
	again, is := m.About.(TriedAgain)
	return is && again.Parts && !again.Counts
}

// ProbableCode begins the Doubt of an entry whose label was recognised among the
// codes that exist, not decoded. The time may be in doubt as well.
const ProbableCode = "probable code: "

// DoubtfulPicture begins the Doubt of an entry that keeps a photograph which could not be
// opened. Older programs tell it as a doubt about the time.
const DoubtfulPicture = "photograph: "

// OneOfTwo begins the Doubt of an entry of which two readers of one label read
// different codes: at most one of them is right.
const OneOfTwo = ProbableCode + "one of two: "

// IsOneOfTwo reports whether a Doubt is that of one of two readings.
func IsOneOfTwo(doubt string) bool { return strings.HasPrefix(doubt, OneOfTwo) }

// DoubtOf reads the Doubt of an entry: what is doubtful, in the words of whoever
// made it, and whether the code is among that.
func (e *Event) DoubtOf() (text string, probable bool) {
	return strings.CutPrefix(e.Doubt, ProbableCode)
}
