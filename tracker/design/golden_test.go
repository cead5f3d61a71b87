package design

// golden is the deal of loft(2, 2): serial, adhesive, treatment, board, bath and
// place in the glue-up order.
const golden = `1 CAS dry A  1
2 RF dry A  12
3 UF dry A  9
4 RF soaked A B2 11
5 PUR soaked A B6 6
6 CAS soaked A B1 2
7 EPX dry A  7
8 PUR dry A  5
9 PVA soaked A B4 4
10 EPX soaked A B5 8
11 PVA dry A  3
12 UF soaked A B3 10
13 PVA dry B  15
14 PVA soaked B B4 16
15 CAS soaked B B1 14
16 RF dry B  23
17 PUR dry B  21
18 PUR soaked B B6 22
19 UF soaked B B3 19
20 EPX soaked B B5 17
21 CAS dry B  13
22 EPX dry B  18
23 UF dry B  20
24 RF soaked B B2 24
`
