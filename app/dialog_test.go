package app

import (
	"reflect"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/view"
	"coilwright/physics/design"
)

// keyed returns the entries of the menu that have a key.
func keyed(items []*fyne.MenuItem) (all []*fyne.MenuItem) {
	for _, i := range items {
		if i.ChildMenu != nil {
			all = append(all, keyed(i.ChildMenu.Items)...)
		}
		if i.Shortcut != nil && !i.IsQuit {
			all = append(all, i)
		}
	}
	return all
}

// Keys of the menu come before everything else; under a dialog none of them may
// change the design, the stage or what is open.
func TestMenuKeysUnderADialog(t *testing.T) {
	w := newWindow(t)
	w.setTurns(200)
	w.setTurns(220)
	w.undo()
	before := w.session.Design()
	w.showPage(pageUsing)
	tried := 0
	for _, m := range w.menu.main.Items {
		for _, i := range keyed(m.Items) {
			tried++
			i.Action()
			if len(w.dialogs) != 1 || w.current().key != stageShape || w.filled() || !reflect.DeepEqual(w.session.Design(), before) {
				t.Fatalf("%q acts under a dialog: %d dialogs, stage %s, %g turns", i.Label, len(w.dialogs), w.current().key, w.session.Design().Secondary.Turns)
			}
		}
	}
	if tried < 15 {
		t.Errorf("only %d keys tried", tried)
	}
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if len(w.dialogs) != 0 {
		t.Fatal("Escape leaves the dialog open")
	}
	w.menu.stages[1].Action()
	w.menu.undo.Action()
	if w.current().key != stageDrive || w.session.Design().Secondary.Turns == before.Secondary.Turns {
		t.Errorf("with the dialog gone the keys lead to %s, %g turns", w.current().key, w.session.Design().Secondary.Turns)
	}
}

// A list that is open over the window counts as a dialog.
func TestMenuKeysUnderAList(t *testing.T) {
	w := newWindow(t)
	pop := widget.NewPopUp(widget.NewLabel("list"), w.window.Canvas())
	pop.Show()
	w.menu.stages[1].Action()
	if w.current().key != stageShape {
		t.Error("the stage changes under an open list")
	}
	pop.Hide()
	w.menu.stages[1].Action()
	if w.current().key != stageDrive {
		t.Error("the stage does not change")
	}
}

// Undo in an entry of a dialog takes typing back, not the design.
func TestUndoInADialogUndoesTyping(t *testing.T) {
	w := newWindow(t)
	w.setTurns(200)
	w.keep()
	entry, ok := w.window.Canvas().Focused().(*line)
	if !ok {
		t.Fatalf("%T has the keyboard", w.window.Canvas().Focused())
	}
	first := entry.Text
	entry.TypedRune('x')
	w.menu.undo.Action()
	if entry.Text != first || w.session.Design().Secondary.Turns != 200 {
		t.Errorf("undo leaves %q and %g turns", entry.Text, w.session.Design().Secondary.Turns)
	}
	w.menu.redo.Action()
	if entry.Text == first {
		t.Error("redo does not type again")
	}
}

// Escape closes every dialog of the window, whatever in it has the keyboard.
func TestEscapeClosesDialogs(t *testing.T) {
	w, s := openDrive(t)
	w.session.Edit("sense", func(d *design.Design) { d.Driver.Sense = -1 })
	w.keepAs("kept")
	for name, open := range map[string]func(){
		"page": func() { w.showPage(pageUsing) }, "behind": w.showBehind, "items": func() { w.showItems("notice.title", view.ItemsOf(w.last, w.units)) },
		"name": w.editName, "keep": w.keep, "variants": w.showVariants, "drawer": w.openDrawer, "causes": s.showCauses, "symptoms": s.showSymptoms,
		"own": func() { s.askOwn(true) }, "question": func() { w.ask("?", answer{"ask.cancel", 0, func() {}}) }, "air": w.showAir,
	} {
		const stops = 12
		for stop := range stops {
			open()
			if len(w.dialogs) != 1 {
				t.Fatalf("%s opens %d dialogs", name, len(w.dialogs))
			}
			for range stop {
				w.window.Canvas().FocusNext()
			}
			escape := &fyne.KeyEvent{Name: fyne.KeyEscape}
			focused := w.window.Canvas().Focused()
			if focused != nil {
				focused.TypedKey(escape)
			} else {
				w.typedKey(escape)
			}
			if _, ok := focused.(*widget.Button); ok { // the toolkit's own, of its form
				w.dismiss()
			}
			if len(w.dialogs) != 0 {
				t.Errorf("%s: Escape on %T leaves it open", name, focused)
				w.dismiss()
			}
		}
	}
}
