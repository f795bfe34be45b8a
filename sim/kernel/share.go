package kernel

// Share returns the chance, from 0 to 1, that [Table.Pick] gives alternative i. Of a table made by [Table.SetRates] for n rates,
// alternative n stands for nothing happening. It is for telling what a table weighs, not for choosing.
func (t *Table) Share(i int) float64 {
	threshold := func(i int) uint64 {
		switch {
		case i < 0:
			return 0
		case i >= t.count:
			return Certain
		}
		return uint64(t.blocks[i/blockSize][i%blockSize])
	}
	return float64(threshold(i)-threshold(i-1)) / float64(Certain)
}
