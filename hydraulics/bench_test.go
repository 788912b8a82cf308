package hydraulics

import (
	"testing"

	"rinsewright/quantity"
)

var benchPipe = Pipe{Length: 30, Bore: quantity.Millimetres(20.93), Roughness: plasticRoughness, MinorK: 5}

func BenchmarkColebrookFactor(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ColebrookFactor(18177, 7e-5); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPipeLoss(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := benchPipe.Loss(3e-4, water20); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPipeFlowAt(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := benchPipe.FlowAt(1.6e4, water20); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDeliveryWithThreeGuns(b *testing.B) {
	d := demoDelivery(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := d.With(3, water20); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNetworkLoop(b *testing.B) {
	n, fluid := readNetwork(b, "hydraulics_net_N3.inp.txt", Colebrook)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := n.Solve(fluid); err != nil {
			b.Fatal(err)
		}
	}
}
