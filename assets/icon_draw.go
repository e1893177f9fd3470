//go:build ignore

// Command icon_draw draws icon.svg into icon.png.
package main

import (
	"image"
	"image/png"
	"log"
	"os"

	"github.com/fyne-io/oksvg"
	"github.com/srwiley/rasterx"
)

const side = 512 // pixels

func main() {
	drawing, err := oksvg.ReadIcon("icon.svg", oksvg.StrictErrorMode)
	if err != nil {
		log.Fatal(err)
	}
	drawing.SetTarget(0, 0, side, side)
	picture := image.NewRGBA(image.Rect(0, 0, side, side))
	drawing.Draw(rasterx.NewDasher(side, side, rasterx.NewScannerGV(side, side, picture, picture.Bounds())), 1)
	f, err := os.Create("icon.png")
	if err != nil {
		log.Fatal(err)
	}
	if err := png.Encode(f, picture); err != nil {
		log.Fatal(err)
	}
	if err := f.Close(); err != nil {
		log.Fatal(err)
	}
}
