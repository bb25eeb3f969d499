package job

import (
	"os"
	"testing"

	"dishwright/cam/chance"
)

func TestMain(m *testing.M) { os.Exit(chance.Run(m)) }
