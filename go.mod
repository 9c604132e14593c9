module seamwright

go 1.26.0

require (
	codeberg.org/go-pdf/fpdf v0.12.0 // indirect
	github.com/alecthomas/kong v1.17.0 // indirect
	github.com/boombuler/barcode v1.1.0 // indirect
	github.com/goccy/go-yaml v1.19.2 // indirect
	github.com/peterstace/simplefeatures v0.50.0 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3 // indirect
	github.com/shopspring/decimal v1.6.0 // indirect
	golang.org/x/image v0.44.0 // indirect
	golang.org/x/text v0.40.0 // indirect
	gonum.org/v1/gonum v0.17.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
