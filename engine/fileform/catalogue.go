package fileform

import "seamwright/engine/catalogue"

func CheckCatalogue(f *catalogue.File, src *Source) []Problem { return nil }
