package stats

import (
	"encoding/binary"

	"gonum.org/v1/gonum/mat"
)

// combinations numbers the different combinations of levels of the named factors.
func combinations(cells []Cell, factors []int) (of []int, count int) {
	of = make([]int, len(cells))
	known := map[string]int{}
	var key []byte
	for i, c := range cells {
		key = key[:0]
		for _, factor := range factors {
			key = binary.AppendVarint(key, int64(c.Levels[factor]))
		}
		number, ok := known[string(key)]
		if !ok {
			number = len(known)
			known[string(key)] = number
		}
		of[i] = number
	}
	return of, len(known)
}

// merged sums the cells with the same levels of the named factors, and gives for
// each cell the one it went into.
func merged(cells []Cell, factors []int) (sums []Cell, of []int) {
	of, count := combinations(cells, factors)
	sums = make([]Cell, count)
	for i, c := range cells {
		sum := &sums[of[i]]
		sum.Levels = c.Levels
		sum.Examined += c.Examined
		sum.Infested += c.Infested
	}
	return sums, of
}

// indicators gives for each cell the columns of its levels; column 0 is common.
func indicators(cells []Cell, factors []int) (rows [][]int, columns int) {
	rows = make([][]int, len(cells))
	for i := range cells {
		rows[i] = append(make([]int, 0, 1+len(factors)), 0)
	}
	columns = min(1, len(cells))
	for _, factor := range factors {
		known := map[int]int{}
		for i, c := range cells {
			column, ok := known[c.Levels[factor]]
			if !ok {
				column = columns
				known[c.Levels[factor]] = column
				columns++
			}
			rows[i] = append(rows[i], column)
		}
	}
	return rows, columns
}

// independent leaves out the columns that follow from those before them, found by
// elimination in the matrix of how often two columns meet.
func independent(rows [][]int, columns int) (kept [][]int, rank int) {
	meet := mat.NewDense(max(columns, 1), max(columns, 1), nil).RawMatrix()
	line := func(i int) []float64 { return meet.Data[i*meet.Stride : i*meet.Stride+columns] }
	for _, row := range rows {
		for _, i := range row {
			for _, j := range row {
				line(i)[j]++
			}
		}
	}
	renamed := make([]int, columns)
	often := make([]float64, columns)
	for j := range columns {
		often[j] = line(j)[j]
	}
	for j := range columns {
		pivot := line(j)
		if pivot[j] <= leastIndependent*often[j] {
			renamed[j] = -1
			continue
		}
		renamed[j] = rank
		rank++
		for i := j + 1; i < columns; i++ {
			part := pivot[i] / pivot[j]
			if part == 0 {
				continue
			}
			rest := line(i)
			for k := i; k < columns; k++ {
				rest[k] -= part * pivot[k]
			}
		}
	}
	kept = make([][]int, len(rows))
	for i, row := range rows {
		for _, column := range row {
			if renamed[column] >= 0 {
				kept[i] = append(kept[i], renamed[column])
			}
		}
	}
	return kept, rank
}

func sumOf(values []float64, at []int) float64 {
	sum := 0.0
	for _, i := range at {
		sum += values[i]
	}
	return sum
}
