package view

import "fyne.io/fyne/v2"

// passOn gives a key that a part with the keyboard has no use for to the window, as
// if nothing had the keyboard: the toolkit does not.
func passOn(o fyne.CanvasObject, e *fyne.KeyEvent) {
	c := fyne.CurrentApp().Driver().CanvasForObject(o)
	if c == nil {
		return
	}
	if typed := c.OnTypedKey(); typed != nil {
		typed(e)
	}
}
