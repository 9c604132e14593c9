package httpapi

import (
	"context"
	"fmt"
	"strings"

	"seamwright/engine/fileform"
	"seamwright/examples"
	"seamwright/store"
)

const demosKey = "demos"

// AddDemos puts the demo jobs into a store that never had them. Those that
// somebody deleted do not come back.
func AddDemos(ctx context.Context, s *store.Store) error {
	done, err := s.Setting(ctx, demosKey)
	if err != nil || done != "" {
		return err
	}
	for _, x := range examples.Jobs() {
		doc, problems := Document(x.Name, x.Text)
		if fileform.Refuses(problems) {
			return fmt.Errorf("a demo job inside this program cannot be read: %s", fileform.Text(problems))
		}
		id := "demo-" + strings.TrimSuffix(x.Name, ".yaml")
		if _, err := s.Create(ctx, id, store.Change{Doc: doc, Key: id, Original: x.Text, Note: "demo"}, true); err != nil {
			return err
		}
	}
	return s.Set(ctx, demosKey, "1")
}
