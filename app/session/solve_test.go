package session

import (
	"context"
	"reflect"
	"testing"

	"coilwright/physics/design"
)

// A coil that is not solved anew because only its driver has changed still has the
// cautions of the driver that it has now.
func TestCautionsFollowTheDriver(t *testing.T) {
	solve := solveWith(design.NewSolver())
	d := design.New()
	d.SetDriverKind(design.FeedbackExciter)
	for _, change := range []func(){
		func() {},
		func() { d.SetDriverKind(design.HalfBridge); d.Driver.Bus = 300 },
		func() { d.SetDriverKind(design.SparkGap) },
		func() { d.SetDriverKind(design.NoDriver) },
		func() { d.SetDriverKind(design.FeedbackExciter) },
	} {
		change()
		fresh, err := design.NewSolver().Evaluate(context.Background(), d)
		if err != nil {
			t.Fatal(err)
		}
		if got := solve(context.Background(), &job{design: d}); got.Err != nil || !reflect.DeepEqual(got.Report.Cautions, fresh.Cautions) {
			t.Errorf("%s: cautions\n%+v, want\n%+v", d.Driver.Kind, got.Report.Cautions, fresh.Cautions)
		}
	}
}
