package labels_test

import (
	"fmt"

	"soaktag/labels"
)

func ExampleParse() {
	for _, text := range []string{"hbr 017 j", "HBR017J1", "HBRà&èJ&", "HBR-018-J"} {
		code, err := labels.Parse(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(code)
	}
	// Output:
	// HBR-017-J
	// HBR-017-J/1
	// HBR-017-J/1
	// "HBR-018-J" has a wrong check character: a character is misread or mistyped; read it again, or compare it with the label
}

func ExampleNearest() {
	known := labels.Deal("HBR", 40)
	fmt.Println(labels.Nearest("HBR-O17-J", known, 2))
	// Output: [HBR-017-J]
}

func ExampleParseStock() {
	stock, err := labels.ParseStock("letter 3x10 66.7x25.4 gap 3.2x0")
	fmt.Println(stock.Cells(), stock.Cell(1).X, err)
	_, err = labels.ParseStock("a4 3x11 63.5x29.6")
	fmt.Println(err)
	// Output:
	// 30 74.6 <nil>
	// stock a4 3x11 63.5x29.6 does not fit: 28.6 mm too high for the page; try "a4 3x9 63.5x29.6", "letter 3x10 66.7x25.4 gap 3.2x0" or "roll 50x25"
}
