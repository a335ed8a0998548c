//! Lines of an imported drawing told apart by their colour.

use cutleaf::outline::Process;
use cutleaf::outline::import::{Fit, read_svg, read_svg_by_color};
use kurbo::Shape;

const KITE: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="4in" height="4in" viewBox="0 0 4 4">
<path d="M2 0L4 2L2 4L0 2Z" fill="#e2725b"/>
<path d="M2 0L2 4" fill="none" stroke="#ff0000" stroke-width="0.02"/>
<g id="pen"><path d="M1 2L3 2" fill="none" stroke="#ff0000" stroke-width="0.02"/></g>
<path d="M1.5 2A.5 .5 0 1 0 2.5 2A.5 .5 0 1 0 1.5 2Z" fill="none" stroke="#0000FF" stroke-width="0.02"/>
</svg>"##;

fn of(colors: &[(&str, Process)]) -> Result<cutleaf::outline::Drawing, String> {
    let colors: Vec<_> =
        colors.iter().map(|(color, process)| ((*color).to_owned(), *process)).collect();
    read_svg_by_color(KITE, Fit::RealSize, &colors).map_err(|error| error.to_string())
}

#[test]
fn colors_tell_the_process_and_ids_have_the_last_word() {
    // An open line that is nothing but cut is refused.
    let refused = read_svg(KITE, Fit::RealSize).expect_err("an open path");
    assert!(refused.help.contains("processes"), "{refused}");
    let drawing = of(&[("#FF0000", Process::Score)]).expect("sound");
    let processes: Vec<Process> = drawing.lines.iter().map(|line| line.process).collect();
    assert_eq!(processes, [Process::Score, Process::Pen]);
    // The ring is still a window.
    let window = std::f64::consts::PI * 0.25;
    assert!((drawing.outline.area().abs() - (8.0 - window)).abs() < 1e-3);
    let perforated = of(&[("#ff0000", Process::Score), ("#0000ff", Process::Perforate)]);
    let perforated = perforated.expect("sound");
    assert_eq!(perforated.lines.len(), 3);
    assert!((perforated.outline.area().abs() - 8.0).abs() < 1e-6);
}

#[test]
fn a_color_that_no_line_has_is_told() {
    let told = of(&[("#ff0000", Process::Score), ("#00ff00", Process::Pen)]).expect_err("no green");
    assert!(told.contains("#00ff00") && told.contains("#0000ff"), "{told}");
}
