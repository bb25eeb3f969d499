package job

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A piece without a name is called what it is.
func TestUsualName(t *testing.T) {
	for form, sizes := range map[string]string{
		"dish":  "radius: 15 ft\ndiameter: 200 mm\n",
		"caul":  "radius: 15 ft\ndiameter: 200 mm\n",
		"board": "radius: 15 ft\nlength: 200 mm\nwidth: 40 mm\n",
		"gauge": "radii: [15 ft]\nlength: 200 mm\n",
	} {
		j, err := Load("job.yaml", []byte("form: "+form+"\nmachine: bench-600\n"+sizes))
		require.NoError(t, err)
		require.Equal(t, form, j.Work.Name)
	}
}
