//go:build !race

package photo

const raced = false
