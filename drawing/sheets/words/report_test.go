package words

import (
	"reflect"
	"testing"
)

// An empty text in one language is a hole in a paper.
func TestReportTextsAreThere(t *testing.T) {
	for language, r := range report {
		v := reflect.ValueOf(*r)
		for i := range v.NumField() {
			if v.Field(i).String() == "" {
				t.Errorf("%s: %s is empty", language, v.Type().Field(i).Name)
			}
		}
	}
}
