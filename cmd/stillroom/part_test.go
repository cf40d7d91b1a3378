package main

import (
	"fmt"
	"os"
	"strconv"

	"larkrow.example/stillroom/internal/floor"
	"larkrow.example/stillroom/internal/synthetic"
)

// partVariable is the environment variable that gives this tests' program another part than to test. So the benchmarks have processes of their own
// for the floor, and for making handbooks: the memory that a process has used is counted as its children's, too.
const partVariable = "STILLROOM_TEST_PART"

// play plays a part:
//
//	floor HANDBOOK PLAN FOLDER     writes what the plan says into the folder
//	handbook FOLDER RECIPES        makes a handbook with so many recipes
func play(part string, args []string) {
	err := fmt.Errorf("%s: no such part", part)
	switch {
	case part == "floor" && len(args) == 3:
		err = floor.Build(args[0], args[1], args[2])
	case part == "handbook" && len(args) == 2:
		var n int
		if n, err = strconv.Atoi(args[1]); err == nil {
			err = synthetic.Write(args[0], synthetic.Size{Recipes: n, Seed: 1})
		}
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
