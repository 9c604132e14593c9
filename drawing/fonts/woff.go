package fonts

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math/bits"
)

// maxFontSize bounds what a WOFF header may claim, so that a damaged file
// cannot ask for the whole memory.
const maxFontSize = 4 << 20

// unwrap returns the font that a WOFF 1.0 file carries, table by table and
// without any change to the tables.
//
// Source: W3C Recommendation "WOFF File Format 1.0" (2012), §3 to §5, from
// memory; sfnt table directory: ISO/IEC 14496-22, from memory.
func unwrap(woff []byte) ([]byte, error) {
	be := binary.BigEndian
	if len(woff) < 44 || string(woff[:4]) != "wOFF" {
		return nil, errors.New("not a WOFF 1.0 file")
	}
	flavor, n, total := be.Uint32(woff[4:]), int(be.Uint16(woff[12:])), be.Uint32(woff[16:])
	if n == 0 || len(woff) < 44+20*n || total > maxFontSize {
		return nil, errors.New("WOFF header is damaged")
	}
	out := make([]byte, 12+16*n, max(int(total), 12+16*n))
	be.PutUint32(out[0:], flavor)
	be.PutUint16(out[4:], uint16(n))
	log2 := bits.Len(uint(n)) - 1
	searchRange := 16 << log2
	be.PutUint16(out[6:], uint16(searchRange))
	be.PutUint16(out[8:], uint16(log2))
	be.PutUint16(out[10:], uint16(16*n-searchRange))
	for i := range n {
		entry := woff[44+20*i:]
		offset, packed, size := be.Uint32(entry[4:]), be.Uint32(entry[8:]), be.Uint32(entry[12:])
		table, err := unpackTable(woff, offset, packed, size)
		if err != nil {
			return nil, fmt.Errorf("WOFF table %q: %w", entry[:4], err)
		}
		record := out[12+16*i:]
		copy(record[:4], entry[:4])
		copy(record[4:8], entry[16:20]) // checksum of the table as it was
		be.PutUint32(record[8:], uint32(len(out)))
		be.PutUint32(record[12:], size)
		out = append(out, table...)
		for len(out)%4 != 0 {
			out = append(out, 0)
		}
	}
	return out, nil
}

func unpackTable(woff []byte, offset, packed, size uint32) ([]byte, error) {
	end := uint64(offset) + uint64(packed)
	if end > uint64(len(woff)) || packed > size || size > maxFontSize {
		return nil, errors.New("lies outside the file")
	}
	raw := woff[offset:end]
	if packed == size {
		return raw, nil
	}
	r, err := zlib.NewReader(bytes.NewReader(raw))
	if err != nil {
		return nil, err
	}
	table := make([]byte, size)
	if _, err := io.ReadFull(r, table); err != nil {
		return nil, err
	}
	return table, nil
}
