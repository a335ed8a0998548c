//! The five pictures.

use std::fmt::Write;

use super::paint::{Chance, Drawing, smooth};

/// A picture to be drawn.
pub struct Scene {
    pub name: &'static str,
    pub svg: String,
    /// Whether the camera was held upright.
    pub held_upright: bool,
}

const CORAL: &str = "#dd6248";
const DEEP_CORAL: &str = "#bb4a36";
const MARIGOLD: &str = "#efb046";
const DEEP_MARIGOLD: &str = "#d6922b";
const CHALK: &str = "#f6efe0";
const HARBOUR: &str = "#2b5673";
const KITE: [&str; 4] = [CORAL, DEEP_CORAL, MARIGOLD, DEEP_MARIGOLD];
const SAND: [(f64, &str); 4] =
    [(0.0, "#f3deb2"), (0.25, "#e8cb96"), (0.6, "#d8b57c"), (1.0, "#bd945c")];

pub fn all() -> Vec<Scene> {
    let scene =
        |name, drawing: Drawing, held_upright| Scene { name, svg: drawing.svg(), held_upright };
    vec![
        scene("launch", launch(), true),
        scene("tangle", tangle(), false),
        scene("crest", crest(), false),
        scene("gull", gull(), false),
        scene("socks", socks(), false),
    ]
}

/// The kite goes up from the beach.
fn launch() -> Drawing {
    let [width, height] = [940.0, 1440.0];
    let mut drawing = Drawing::new(width, height);
    let mut chance = Chance::new(1);
    drawing.sky(&[(0.0, "#2f6d9a"), (0.35, "#6aa5c4"), (0.62, "#b9d6d8"), (0.78, "#f1e3c4")]);
    drawing.cloud([300.0, 560.0], 420.0, &mut chance, "#fffaf0");
    drawing.cloud([760.0, 760.0], 330.0, &mut chance, "#fff3e0");
    drawing.cloud([120.0, 860.0], 260.0, &mut chance, "#fff3e0");
    let sea = drawing.fade(&[(0.0, "#6d9fb0"), (1.0, "#3f7b92")]);
    drawing.add(&format!("<rect y=\"1010\" width=\"{width}\" height=\"90\" fill=\"{sea}\"/>"));
    for step in 0..7 {
        let y = 1022.0 + f64::from(step) * 11.0;
        let from = chance.within(0.0, 500.0);
        let line = [[from, y], [from + 180.0, y + 2.0], [from + 420.0, y]];
        drawing.string(&line, 2.0, "#f4fbf8", 0.45);
    }
    drawing.dune(&[[0.0, 1070.0], [260.0, 1096.0], [560.0, 1084.0], [940.0, 1060.0]], &SAND);
    drawing.ripples(1110.0, 1300.0, 30.0, &mut chance);
    let upper = [[0.0, 1235.0], [240.0, 1222.0], [520.0, 1290.0], [940.0, 1345.0]];
    drawing.dune(&upper, &[(0.0, "#efd3a0"), (0.5, "#d2ab70"), (1.0, "#a87f4b")]);
    let lower = [[0.0, 1420.0], [300.0, 1350.0], [560.0, 1372.0], [940.0, 1440.0]];
    drawing.slope(&upper, &lower, "#7c5a34", 0.28, 8.0);
    let kite = [640.0, 330.0];
    let hand = [248.0, 1020.0];
    let line = [hand, [400.0, 760.0], [560.0, 500.0], [kite[0] - 4.0, kite[1] + 10.0]];
    drawing.string(&line, 2.6, "#fffdf4", 0.85);
    drawing.tail(
        &[
            [596.0, 520.0],
            [560.0, 580.0],
            [600.0, 650.0],
            [556.0, 715.0],
            [600.0, 780.0],
            [566.0, 840.0],
            [590.0, 890.0],
        ],
        58.0,
        &[CHALK, MARIGOLD, HARBOUR],
    );
    drawing.kite(kite, 400.0, 16.0, KITE);
    drawing.figure([214.0, 1230.0], 205.0, "#8f3f33", 0.55);
    drawing.figure([352.0, 1256.0], 165.0, "#2f6073", -0.9);
    for (x, y, size) in [
        (760.0, 1330.0, 150.0),
        (850.0, 1370.0, 210.0),
        (690.0, 1385.0, 130.0),
        (60.0, 1400.0, 190.0),
    ] {
        drawing.grass([x, y], size, 70, 0.5, &mut chance);
    }
    drawing
}

/// The tail wound round everything.
fn tangle() -> Drawing {
    let [width, height] = [880.0, 1256.0];
    let mut drawing = Drawing::new(width, height);
    let mut chance = Chance::new(2);
    drawing.sky(&[(0.0, "#ecd2a0"), (0.5, "#dfbf89"), (1.0, "#c69f67")]);
    drawing.ripples(-20.0, height, 120.0, &mut chance);
    for _ in 0..26 {
        let [x, y] = [chance.within(0.0, width), chance.within(0.0, height)];
        let ink = if chance.next() > 0.5 { "#fff5df" } else { "#9b7a4e" };
        drawing.add(&format!(
            "<ellipse cx=\"{x:.0}\" cy=\"{y:.0}\" rx=\"{:.1}\" ry=\"{:.1}\" fill=\"{ink}\" opacity=\"0.6\"/>",
            chance.within(2.0, 6.0),
            chance.within(2.0, 4.0)
        ));
    }
    for (x, y, size, lean) in
        [(120.0, 210.0, 230.0, 0.55), (30.0, 420.0, 260.0, 0.6), (820.0, 330.0, 230.0, 0.35)]
    {
        drawing.grass([x, y], size, 75, lean, &mut chance);
    }
    let blur = drawing.blur(16.0);
    drawing.add(&format!(
        "<path d=\"M250 360 L760 560 L600 1010 L230 700 Z\" fill=\"#5a3f22\" opacity=\"0.45\" {blur}/>"
    ));
    drawing.kite([480.0, 600.0], 620.0, 148.0, [MARIGOLD, DEEP_MARIGOLD, CORAL, DEEP_CORAL]);
    let loops = |shift: f64, chance: &mut Chance| -> Vec<[f64; 2]> {
        (0..30)
            .map(|step| {
                let turn = f64::from(step) * 0.83 + shift;
                let wide = 190.0 + 130.0 * (f64::from(step) * 0.37 + shift).sin();
                [
                    430.0 + wide * turn.cos() + chance.within(-30.0, 30.0),
                    690.0 + wide * 0.85 * turn.sin() + chance.within(-30.0, 30.0),
                ]
            })
            .collect()
    };
    let shade = loops(0.4, &mut Chance::new(20));
    let moved: Vec<[f64; 2]> = shade.iter().map(|point| [point[0] + 7.0, point[1] + 9.0]).collect();
    drawing.string(&moved, 5.0, "#5a3f22", 0.3);
    drawing.string(&shade, 4.5, "#fffaf0", 0.95);
    let tail = [
        [318.0, 356.0],
        [250.0, 300.0],
        [180.0, 390.0],
        [240.0, 520.0],
        [380.0, 560.0],
        [560.0, 500.0],
        [690.0, 590.0],
        [640.0, 750.0],
        [470.0, 800.0],
        [320.0, 850.0],
        [300.0, 980.0],
        [430.0, 1060.0],
        [600.0, 1020.0],
        [720.0, 1090.0],
    ];
    let moved: Vec<[f64; 2]> = tail.iter().map(|point| [point[0] + 8.0, point[1] + 12.0]).collect();
    drawing.string(&moved, 9.0, "#5a3f22", 0.28);
    drawing.tail(&tail, 92.0, &[CHALK, HARBOUR, "#a9cdd1"]);
    for (x, y, size, lean) in
        [(780.0, 1240.0, 330.0, -0.35), (90.0, 1245.0, 300.0, 0.5), (300.0, 1262.0, 180.0, 0.2)]
    {
        drawing.grass([x, y], size, 90, lean, &mut chance);
    }
    drawing
}

/// Everyone on the crest, late in the afternoon.
fn crest() -> Drawing {
    let [width, height] = [1440.0, 940.0];
    let mut drawing = Drawing::new(width, height);
    let mut chance = Chance::new(3);
    drawing.sky(&[(0.0, "#4d86a8"), (0.28, "#93bcc6"), (0.46, "#f3dcae"), (0.6, "#f6c88a")]);
    drawing.cloud([420.0, 190.0], 460.0, &mut chance, "#fff2dc");
    drawing.cloud([1180.0, 270.0], 380.0, &mut chance, "#ffe6c4");
    drawing.cloud([820.0, 385.0], 300.0, &mut chance, "#ffe2ba");
    drawing.sun([1130.0, 420.0], 52.0, "#fff6dc");
    let sea = drawing.fade(&[(0.0, "#d9c79c"), (0.3, "#8fb0ab"), (1.0, "#5d8c9a")]);
    drawing.add(&format!("<rect y=\"505\" width=\"{width}\" height=\"110\" fill=\"{sea}\"/>"));
    for step in 0..9 {
        let y = 514.0 + f64::from(step) * 9.0;
        let half = 26.0 + f64::from(step) * 13.0 * chance.within(0.6, 1.2);
        drawing.string(&[[1130.0 - half, y], [1130.0 + half, y]], 3.0, "#fff4cf", 0.6);
    }
    drawing.dune(
        &[[0.0, 560.0], [240.0, 536.0], [520.0, 580.0], [900.0, 606.0], [1440.0, 566.0]],
        &[(0.0, "#e9cf9f"), (0.4, "#cfae78"), (1.0, "#b18d5b")],
    );
    let upper = [
        [0.0, 745.0],
        [260.0, 690.0],
        [520.0, 560.0],
        [700.0, 520.0],
        [930.0, 600.0],
        [1180.0, 712.0],
        [1440.0, 760.0],
    ];
    drawing.dune(&upper, &[(0.0, "#f6deac"), (0.4, "#e4c288"), (1.0, "#c2975c")]);
    drawing.slope(
        &[[0.0, 745.0], [260.0, 690.0], [520.0, 560.0], [700.0, 520.0]],
        &[[0.0, 945.0], [300.0, 880.0], [560.0, 740.0], [700.0, 522.0]],
        "#7a5834",
        0.42,
        3.0,
    );
    drawing.ripples(800.0, 940.0, -60.0, &mut chance);
    let kites = [
        ([330.0, 170.0], 130.0, -14.0, KITE, [624.0, 470.0]),
        ([770.0, 110.0], 150.0, 10.0, [HARBOUR, "#1f4059", CHALK, "#d9cdb4"], [700.0, 440.0]),
        ([1010.0, 220.0], 96.0, 24.0, [MARIGOLD, DEEP_MARIGOLD, CORAL, DEEP_CORAL], [782.0, 468.0]),
    ];
    for (at, size, turn, inks, hand) in kites {
        let sag = [(at[0] + hand[0]) / 2.0, (at[1] + hand[1]) / 2.0 + 26.0];
        drawing.string(&[hand, sag, at], 1.7, "#fffdf2", 0.8);
        let side = if at[0] < 600.0 { -1.0 } else { 1.0 };
        let tail: Vec<[f64; 2]> = (0..6)
            .map(|step| {
                let step = f64::from(step);
                [
                    at[0] - side * 12.0 + (step * 1.6).sin() * 12.0 + side * step * 2.0,
                    at[1] + size * 0.55 + step * 20.0,
                ]
            })
            .collect();
        drawing.tail(&tail, size * 0.16, &[CHALK, CORAL, MARIGOLD]);
        drawing.kite(at, size, turn, inks);
    }
    drawing.figure([596.0, 560.0], 104.0, "#8f3f33", 0.6);
    drawing.figure([676.0, 530.0], 112.0, "#2f6073", 0.45);
    drawing.figure([752.0, 542.0], 84.0, "#d9922f", 0.75);
    for (x, y, size) in [
        (60.0, 935.0, 210.0),
        (190.0, 955.0, 170.0),
        (1340.0, 945.0, 240.0),
        (1230.0, 960.0, 170.0),
        (1420.0, 900.0, 180.0),
        (930.0, 640.0, 46.0),
        (1010.0, 668.0, 54.0),
        (410.0, 640.0, 52.0),
    ] {
        drawing.grass([x, y], size, 60, 0.42, &mut chance);
    }
    drawing
}

/// A gull hangs in the wind.
fn gull() -> Drawing {
    let size = 1000.0;
    let mut drawing = Drawing::new(size, size);
    let mut chance = Chance::new(4);
    drawing.sky(&[(0.0, "#3f7fab"), (0.5, "#86b7cc"), (1.0, "#d9e4d8")]);
    drawing.cloud([260.0, 800.0], 560.0, &mut chance, "#fffaf0");
    drawing.cloud([820.0, 880.0], 520.0, &mut chance, "#fff6e6");
    drawing.cloud([780.0, 190.0], 330.0, &mut chance, "#fffaf2");
    let wing = drawing.fade(&[(0.0, "#eef1ef"), (0.55, "#b9c4c8"), (1.0, "#8d9ca5")]);
    let far_wing = drawing.fade(&[(0.0, "#ffffff"), (0.6, "#dfe5e4"), (1.0, "#a9b6bc")]);
    let body = drawing.fade(&[(0.0, "#ffffff"), (0.55, "#f4f3ec"), (1.0, "#aeb7b8")]);
    let soft = drawing.blur(0.8);
    drawing.add(&format!(
        "<g transform=\"rotate(-7 500 500)\" {soft}>\
         <path d=\"M520 470 C600 360 720 250 930 232 C880 262 872 268 846 296 C822 312 800 332 780 356 C720 420 650 480 590 540 Z\" fill=\"{far_wing}\"/>\
         <path d=\"M930 232 C870 234 815 246 772 266 L846 296 C872 268 880 262 930 232 Z\" fill=\"#2c3238\"/>\
         <path d=\"M904 240 L872 262\" stroke=\"#ffffff\" stroke-width=\"9\" stroke-linecap=\"round\"/>\
         <path d=\"M250 560 C330 500 430 462 540 470 C640 478 720 520 786 566 L842 590 C812 602 776 602 748 594 C690 622 600 634 500 628 C410 622 330 600 250 560 Z\" fill=\"{body}\"/>\
         <path d=\"M786 566 L868 572 L842 590 L876 606 L748 594 Z\" fill=\"#fbfaf5\"/>\
         <path d=\"M250 560 C262 528 300 508 340 510 C350 540 340 566 318 584 C290 580 268 572 250 560 Z\" fill=\"#ffffff\"/>\
         <path d=\"M256 548 C232 546 204 552 186 566 C206 574 234 574 258 566 Z\" fill=\"#e9a02f\"/>\
         <path d=\"M206 572 C216 575 228 574 236 572 L230 564 Z\" fill=\"#c9452f\"/>\
         <circle cx=\"294\" cy=\"538\" r=\"8\" fill=\"#20262b\"/><circle cx=\"292\" cy=\"535\" r=\"2.4\" fill=\"#ffffff\"/>\
         <path d=\"M430 500 C370 400 250 300 60 262 C108 300 118 312 140 342 C168 364 190 388 212 416 C290 500 360 560 470 590 C520 600 560 580 560 540 C530 500 480 490 430 500 Z\" fill=\"{wing}\"/>\
         <path d=\"M60 262 C130 268 190 288 236 312 L140 342 C118 312 108 300 60 262 Z\" fill=\"#23292e\"/>\
         <path d=\"M88 274 L122 300 M120 282 L150 304\" stroke=\"#ffffff\" stroke-width=\"9\" stroke-linecap=\"round\"/>\
         <path d=\"M212 416 C290 500 360 560 470 590\" stroke=\"#ffffff\" stroke-width=\"12\" fill=\"none\" opacity=\"0.85\"/>\
         <path d=\"M250 380 C320 440 400 500 500 540 M300 372 C370 430 440 476 520 512\" stroke=\"#7f8d95\" stroke-width=\"3\" fill=\"none\" opacity=\"0.5\"/>\
         </g>"
    ));
    drawing.kite([830.0, 700.0], 74.0, -18.0, KITE);
    drawing.tail(
        &[[842.0, 746.0], [856.0, 764.0], [846.0, 786.0], [862.0, 806.0], [854.0, 826.0]],
        14.0,
        &[CHALK, MARIGOLD],
    );
    drawing
}

/// One sock each.
fn socks() -> Drawing {
    let size = 1000.0;
    let mut drawing = Drawing::new(size, size);
    let mut chance = Chance::new(5);
    drawing.sky(&[(0.0, "#f0d9aa"), (0.6, "#e0c08a"), (1.0, "#cda971")]);
    drawing.ripples(-20.0, size, -170.0, &mut chance);
    for (x, y, turn) in
        [(700.0, 150.0, 24.0), (840.0, 300.0, 30.0), (150.0, 860.0, 30.0), (300.0, 960.0, 22.0)]
    {
        let blur = drawing.blur(4.0);
        drawing.add(&format!(
            "<g transform=\"translate({x} {y}) rotate({turn})\" {blur}>\
             <ellipse rx=\"34\" ry=\"62\" fill=\"#a17a48\" opacity=\"0.55\"/><ellipse cx=\"-6\" cy=\"-6\" rx=\"30\" ry=\"56\" fill=\"#b58d58\" opacity=\"0.6\"/>\
             <ellipse cy=\"88\" rx=\"24\" ry=\"30\" fill=\"#a17a48\" opacity=\"0.55\"/></g>"
        ));
    }
    sock(&mut drawing, [350.0, 420.0], -14.0, CORAL, CHALK, 1.0);
    sock(&mut drawing, [680.0, 560.0], 22.0, HARBOUR, MARIGOLD, -1.0);
    let shell: String = (-4..=4)
        .map(|rib| {
            let turn = f64::from(rib) * 0.17;
            format!("M0 34 L{:.1} {:.1} ", 52.0 * turn.sin() * 1.5, 34.0 - 78.0 * turn.cos())
        })
        .collect();
    let blur = drawing.blur(6.0);
    drawing.add(&format!(
        "<g transform=\"translate(215 195) rotate(-28)\"><ellipse cx=\"8\" cy=\"12\" rx=\"62\" ry=\"48\" fill=\"#6d4d29\" opacity=\"0.35\" {blur}/>\
         <path d=\"M0 36 C-40 30 -70 -6 -54 -26 C-40 -52 40 -52 54 -26 C70 -6 40 30 0 36 Z\" fill=\"#f4dccb\"/>\
         <path d=\"{shell}\" stroke=\"#d99a80\" stroke-width=\"4\" opacity=\"0.75\" fill=\"none\"/></g>"
    ));
    drawing.grass([930.0, 985.0], 260.0, 90, -0.5, &mut chance);
    drawing.grass([820.0, 1005.0], 190.0, 60, -0.35, &mut chance);
    let mut grains = String::new();
    for _ in 0..160 {
        let [x, y] = [chance.within(0.0, size), chance.within(0.0, size)];
        let ink = if chance.next() > 0.45 { "#fff6e2" } else { "#8d6c41" };
        let _ = write!(
            grains,
            "<circle cx=\"{x:.0}\" cy=\"{y:.0}\" r=\"{:.1}\" fill=\"{ink}\"/>",
            chance.within(1.0, 2.6)
        );
    }
    drawing.add(&format!("<g opacity=\"0.55\">{grains}</g>"));
    drawing
}

/// A striped sock that lies on the sand, its shadow below right.
fn sock(drawing: &mut Drawing, at: [f64; 2], turn: f64, ink: &str, stripe: &str, side: f64) {
    let outline = "M-78 -250 C-30 -262 40 -262 78 -250 L84 40 C92 90 150 120 210 150 C262 178 262 240 206 254 C130 268 30 250 -40 206 C-84 178 -90 120 -84 60 Z";
    let stripes: String = (0..7)
        .map(|step| {
            let y = -170.0 + f64::from(step) * 52.0;
            let line = smooth(&[[-110.0, y], [0.0, y + 14.0], [110.0, y]]);
            format!("<path d=\"{line}\" stroke=\"{stripe}\" stroke-width=\"22\" fill=\"none\"/>")
        })
        .collect();
    let cuff: String = (0..14)
        .map(|rib| {
            format!(
                "M{:.0} -254 L{:.0} -196 ",
                -72.0 + f64::from(rib) * 11.0,
                -72.0 + f64::from(rib) * 11.0
            )
        })
        .collect();
    let light = drawing.across(&[(0.0, "#ffffff"), (0.45, "#ffffff"), (1.0, "#1c1208")]);
    let blur = drawing.blur(14.0);
    let clip = format!("sock{}", if side > 0.0 { "a" } else { "b" });
    let [x, y] = at;
    drawing.add(&format!(
        "<clipPath id=\"{clip}\"><path d=\"{outline}\"/></clipPath>\
         <g transform=\"translate({x} {y}) rotate({turn}) scale({side} 1)\">\
         <path d=\"{outline}\" transform=\"translate({} 22)\" fill=\"#5d4020\" opacity=\"0.5\" {blur}/>\
         <path d=\"{outline}\" fill=\"{ink}\"/><g clip-path=\"url(#{clip})\">{stripes}\
         <path d=\"M120 90 C210 120 280 170 270 220 L300 280 L120 290 C90 220 90 140 120 90 Z\" fill=\"{stripe}\" opacity=\"0.95\"/>\
         <path d=\"M-110 40 C-40 70 -10 130 -50 220 L-120 210 Z\" fill=\"{stripe}\" opacity=\"0.95\"/>\
         <rect x=\"-100\" y=\"-270\" width=\"200\" height=\"74\" fill=\"{ink}\"/>\
         <path d=\"{cuff}\" stroke=\"#000000\" stroke-width=\"3\" opacity=\"0.2\"/>\
         <path d=\"M-78 -140 C-20 -100 40 -110 84 -150 M-84 10 C-20 50 30 30 90 -10\" stroke=\"#000000\" stroke-width=\"10\" fill=\"none\" opacity=\"0.10\"/>\
         <path d=\"{outline}\" fill=\"{light}\" opacity=\"0.17\"/></g></g>",
        side * 18.0
    ));
}
