use shaftwork::prelude::*;
fn main() {
    let study = Study::demo().unwrap();
    let c = &study.candidates[1];
    let t = &c.housings()[0].turbine;
    let n: usize = std::env::args().nth(1).unwrap().parse().unwrap();
    for _ in 0..n {
        let p = operating_point(
            &study.installation,
            c,
            t,
            &study.fuels[1],
            Target::crank(kw(240.0), rpm(6700.0)),
        )
        .unwrap();
        std::hint::black_box(p);
    }
}
