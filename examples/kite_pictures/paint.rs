//! Brushes: sky, clouds, dunes, grass, kites, people far off, and the grain of a photo.

use std::fmt::Write;

use image::RgbImage;

/// Numbers that look like chance and are the same every time (a xorshift of 64 bits, G. Marsaglia 2003).
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    /// A number from 0 to 1.
    pub fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        f64::from(u32::try_from(self.0 >> 40).unwrap_or(0)) / f64::from(1_u32 << 24)
    }

    /// A number between two others.
    pub fn within(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.next()
    }
}

/// A drawing under construction.
pub struct Drawing {
    size: [f64; 2],
    definitions: String,
    body: String,
    numbers: u32,
}

impl Drawing {
    pub fn new(width: f64, height: f64) -> Self {
        Self { size: [width, height], definitions: String::new(), body: String::new(), numbers: 0 }
    }

    pub fn svg(self) -> String {
        let [width, height] = self.size;
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\">\
             <defs>{}</defs>{}</svg>",
            self.definitions, self.body
        )
    }

    pub fn add(&mut self, part: &str) {
        self.body.push_str(part);
    }

    fn number(&mut self) -> u32 {
        self.numbers += 1;
        self.numbers
    }

    /// A gradient from top to bottom of what it fills; returns the paint.
    pub fn fade(&mut self, stops: &[(f64, &str)]) -> String {
        self.gradient("x1=\"0\" y1=\"0\" x2=\"0\" y2=\"1\"", stops)
    }

    /// A gradient from left to right.
    pub fn across(&mut self, stops: &[(f64, &str)]) -> String {
        self.gradient("x1=\"0\" y1=\"0\" x2=\"1\" y2=\"0.35\"", stops)
    }

    fn gradient(&mut self, run: &str, stops: &[(f64, &str)]) -> String {
        let id = self.number();
        let stops: String = stops
            .iter()
            .map(|(at, ink)| format!("<stop offset=\"{at}\" stop-color=\"{ink}\"/>"))
            .collect();
        let _ =
            write!(self.definitions, "<linearGradient id=\"g{id}\" {run}>{stops}</linearGradient>");
        format!("url(#g{id})")
    }

    /// A blur of so many dots; returns the attribute.
    pub fn blur(&mut self, dots: f64) -> String {
        let id = self.number();
        let _ = write!(
            self.definitions,
            "<filter id=\"b{id}\" x=\"-50%\" y=\"-50%\" width=\"200%\" height=\"200%\">\
             <feGaussianBlur stdDeviation=\"{dots}\"/></filter>"
        );
        format!("filter=\"url(#b{id})\"")
    }

    pub fn sky(&mut self, stops: &[(f64, &str)]) {
        let paint = self.fade(stops);
        let [width, height] = self.size;
        self.add(&format!("<rect width=\"{width}\" height=\"{height}\" fill=\"{paint}\"/>"));
    }

    /// The sun's disc in its glow.
    pub fn sun(&mut self, at: [f64; 2], radius: f64, ink: &str) {
        let [x, y] = at;
        for (times, dim) in [(5.0, 0.10), (3.0, 0.16), (1.8, 0.25)] {
            let blur = self.blur(radius * times * 0.35);
            self.add(&format!(
                "<circle cx=\"{x}\" cy=\"{y}\" r=\"{}\" fill=\"#fff1c9\" opacity=\"{dim}\" {blur}/>",
                radius * times
            ));
        }
        let blur = self.blur(radius * 0.05);
        self.add(&format!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" fill=\"{ink}\" {blur}/>"));
    }

    /// A long soft cloud, lit from above.
    pub fn cloud(&mut self, at: [f64; 2], size: f64, chance: &mut Chance, ink: &str) {
        let blur = self.blur(size * 0.035);
        let mut puffs = String::new();
        for step in 0..16 {
            let along = f64::from(step) / 15.0 - 0.5;
            let tall = (1.0 - (2.0 * along).powi(2)).max(0.05);
            let x = at[0] + along * size * 1.6 + chance.within(-0.03, 0.03) * size;
            let y = at[1] - tall * size * chance.within(0.02, 0.12);
            let [rx, ry] =
                [size * chance.within(0.12, 0.2), size * tall * chance.within(0.06, 0.12)];
            let _ = write!(
                puffs,
                "<ellipse cx=\"{x:.1}\" cy=\"{y:.1}\" rx=\"{rx:.1}\" ry=\"{ry:.1}\"/>"
            );
        }
        self.add(&format!("<g fill=\"{ink}\" opacity=\"0.62\" {blur}>{puffs}</g>"));
    }

    /// A dune below a crest that runs through `points`; `inks` run from its crest down.
    pub fn dune(&mut self, points: &[[f64; 2]], inks: &[(f64, &str)]) {
        let [width, height] = self.size;
        let crest = smooth(points);
        let paint = self.fade(inks);
        self.add(&format!(
            "<path d=\"{crest} L{width} {} L0 {} Z\" fill=\"{paint}\"/>",
            height + 5.0,
            height + 5.0
        ));
    }

    /// A slope in shade that falls from a crest: between two lines through `upper` and `lower`.
    pub fn slope(
        &mut self,
        upper: &[[f64; 2]],
        lower: &[[f64; 2]],
        ink: &str,
        dark: f64,
        soft: f64,
    ) {
        let mut back: Vec<[f64; 2]> = lower.to_vec();
        back.reverse();
        let blur = self.blur(soft);
        let lower = smooth(&back).replacen('M', "L", 1);
        self.add(&format!(
            "<path d=\"{} {lower} Z\" fill=\"{ink}\" opacity=\"{dark}\" {blur}/>",
            smooth(upper)
        ));
    }

    /// Ripples that the wind leaves in sand, nearer ones larger.
    pub fn ripples(&mut self, top: f64, bottom: f64, tilt: f64, chance: &mut Chance) {
        let [width, _] = self.size;
        let blur = self.blur(1.2);
        let mut lines = String::new();
        let mut y = top;
        while y < bottom {
            let near = ((y - top) / (bottom - top)).clamp(0.0, 1.0);
            let swell = 3.0 + 9.0 * near;
            let mut points = Vec::new();
            let phase = chance.within(0.0, 6.0);
            for step in 0..=12 {
                let x = width * f64::from(step) / 12.0;
                let wave = (f64::from(step) * 0.9 + phase).sin() * swell
                    + (f64::from(step) * 2.3 + phase * 2.0).sin() * swell * 0.4;
                points.push([x, y + wave + tilt * (x / width - 0.5)]);
            }
            let d = smooth(&points);
            let wide = 1.5 + 5.0 * near;
            let _ = write!(
                lines,
                "<path d=\"{d}\" stroke=\"#8a6a3f\" stroke-width=\"{wide:.1}\" opacity=\"0.16\"/>\
                 <path d=\"{d}\" stroke=\"#fff3d6\" stroke-width=\"{:.1}\" opacity=\"0.28\" transform=\"translate(0 {:.1})\"/>",
                wide * 0.8,
                -wide
            );
            y += 9.0 + 30.0 * near;
        }
        self.add(&format!("<g fill=\"none\" stroke-linecap=\"round\" {blur}>{lines}</g>"));
    }

    /// A tuft of marram grass that leans with the wind.
    pub fn grass(&mut self, at: [f64; 2], size: f64, blades: u32, lean: f64, chance: &mut Chance) {
        const INKS: [&str; 5] = ["#5f6b3a", "#7d8348", "#98975a", "#b3a868", "#4d5a35"];
        let mut tuft = String::new();
        for blade in 0..blades {
            let x = at[0] + chance.within(-0.28, 0.28) * size;
            let y = at[1] + chance.within(-0.03, 0.05) * size;
            let tall = size * chance.within(0.45, 1.05);
            let bend = lean * chance.within(0.25, 1.0) + chance.within(-0.28, 0.28);
            let [tip_x, tip_y] = [x + bend * tall, y - tall * (1.0 - 0.25 * bend.abs())];
            let [mid_x, mid_y] = [x + bend * tall * 0.22, y - tall * 0.68];
            let wide = size * chance.within(0.008, 0.016);
            let ink = INKS[blade as usize % INKS.len()];
            let _ = write!(
                tuft,
                "<path d=\"M{:.1} {y:.1} Q{mid_x:.1} {mid_y:.1} {tip_x:.1} {tip_y:.1} Q{:.1} {:.1} {:.1} {y:.1} Z\" fill=\"{ink}\"/>",
                x - wide,
                mid_x + wide * 1.6,
                mid_y + wide,
                x + wide
            );
        }
        self.add(&format!("<g opacity=\"0.95\">{tuft}</g>"));
    }

    /// A kite of four panels, its nose up before it is turned.
    pub fn kite(&mut self, at: [f64; 2], size: f64, turn: f64, inks: [&str; 4]) {
        let [x, y] = at;
        let point = |px: f64, py: f64| format!("{:.1} {:.1}", px * size, py * size);
        let (nose, left, right, foot, cross) = (
            point(0.0, -0.5),
            point(-0.38, -0.14),
            point(0.38, -0.14),
            point(0.0, 0.62),
            point(0.0, -0.14),
        );
        let panel = |a: &str, b: &str, ink: &str| {
            format!("<path d=\"M{cross} L{a} L{b} Z\" fill=\"{ink}\"/>")
        };
        let light = self.across(&[(0.0, "#ffffff"), (1.0, "#1f2b3a")]);
        let panels = [
            panel(&nose, &left, inks[0]),
            panel(&nose, &right, inks[1]),
            panel(&foot, &left, inks[2]),
            panel(&foot, &right, inks[3]),
        ]
        .concat();
        let thin = size * 0.008;
        self.add(&format!(
            "<g transform=\"translate({x} {y}) rotate({turn})\">{panels}\
             <path d=\"M{nose} L{left} L{foot} L{right} Z\" fill=\"{light}\" opacity=\"0.16\"/>\
             <path d=\"M{nose} L{foot} M{left} L{right}\" stroke=\"#4a3524\" stroke-width=\"{thin}\" opacity=\"0.55\"/>\
             <path d=\"M{nose} L{left} L{foot} L{right} Z\" fill=\"none\" stroke=\"#fff8e6\" stroke-width=\"{thin}\" opacity=\"0.5\"/></g>"
        ));
    }

    /// A kite's tail: bows along a line through `points`.
    pub fn tail(&mut self, points: &[[f64; 2]], size: f64, inks: &[&str]) {
        let d = smooth(points);
        self.add(&format!(
            "<path d=\"{d}\" fill=\"none\" stroke=\"#f6ecd8\" stroke-width=\"{}\" opacity=\"0.9\"/>",
            size * 0.06
        ));
        for (number, pair) in points.windows(2).enumerate().skip(1) {
            let [x, y] = pair[0];
            let turn = (pair[1][1] - y).atan2(pair[1][0] - x).to_degrees();
            let ink = inks[number % inks.len()];
            let (wide, tall) = (size * 0.5, size * 0.3);
            self.add(&format!(
                "<g transform=\"translate({x:.1} {y:.1}) rotate({turn:.1})\" fill=\"{ink}\">\
                 <path d=\"M0 0 L{tall} {wide} L{} {wide} Z\"/><path d=\"M0 0 L{tall} -{wide} L{} -{wide} Z\"/>\
                 <circle r=\"{}\" fill=\"#fff8e6\" opacity=\"0.85\"/></g>",
                -tall,
                -tall,
                size * 0.1
            ));
        }
    }

    /// A line of string.
    pub fn string(&mut self, points: &[[f64; 2]], width: f64, ink: &str, dim: f64) {
        self.add(&format!(
            "<path d=\"{}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{width}\" opacity=\"{dim}\" stroke-linecap=\"round\"/>",
            smooth(points)
        ));
    }

    /// Somebody far off, seen from behind, one arm up; `size` is the height.
    pub fn figure(&mut self, feet: [f64; 2], size: f64, coat: &str, arm: f64) {
        let [x, y] = feet;
        let [hand_x, hand_y] = [arm * 0.36, -0.98];
        self.add(&format!(
            "<g transform=\"translate({x} {y}) scale({size})\" stroke-linecap=\"round\" stroke-linejoin=\"round\">\
             <path d=\"M-0.05 -0.46 L-0.10 0 M0.05 -0.46 L0.12 0\" stroke=\"#2b3a4a\" stroke-width=\"0.10\"/>\
             <path d=\"M-0.10 -0.78 Q0 -0.86 0.10 -0.78 L0.13 -0.42 L-0.13 -0.42 Z\" fill=\"{coat}\" stroke=\"{coat}\" stroke-width=\"0.05\"/>\
             <path d=\"M{} -0.76 L{hand_x} {hand_y}\" stroke=\"{coat}\" stroke-width=\"0.07\"/>\
             <path d=\"M{} -0.74 L{} -0.50\" stroke=\"{coat}\" stroke-width=\"0.07\"/>\
             <circle cx=\"0\" cy=\"-0.93\" r=\"0.085\" fill=\"#5b4130\"/></g>",
            arm * 0.09,
            -arm * 0.10,
            -arm * 0.17,
        ));
    }
}

/// A smooth path through points (Catmull-Rom; each part as a cubic).
pub fn smooth(points: &[[f64; 2]]) -> String {
    let Some(first) = points.first() else { return String::new() };
    let mut path = format!("M{:.1} {:.1}", first[0], first[1]);
    for place in 0..points.len() - 1 {
        let before = points[place.saturating_sub(1)];
        let [from, to] = [points[place], points[place + 1]];
        let after = points[(place + 2).min(points.len() - 1)];
        let one = [0, 1].map(|axis| from[axis] + (to[axis] - before[axis]) / 6.0);
        let two = [0, 1].map(|axis| to[axis] - (after[axis] - from[axis]) / 6.0);
        let _ = write!(
            path,
            " C{:.1} {:.1} {:.1} {:.1} {:.1} {:.1}",
            one[0], one[1], two[0], two[1], to[0], to[1]
        );
    }
    path
}

/// What a lens and a film do: corners a little darker, light and shade a little warmer, soft grain.
pub fn develop(picture: &mut RgbImage) {
    let (width, height) = picture.dimensions();
    let [across, down] = [f64::from(width), f64::from(height)];
    let mut chance = Chance::new(7);
    for (x, y, dot) in picture.enumerate_pixels_mut() {
        let [dx, dy] = [f64::from(x) / across - 0.5, f64::from(y) / down - 0.5];
        let corner = 1.0 - 0.34 * (dx * dx + dy * dy);
        let grain = chance.within(-1.3, 1.3);
        for (channel, warm) in [(0, 1.015), (1, 1.0), (2, 0.97)] {
            let light = f64::from(dot.0[channel]) / 255.0;
            // A gentle curve: deeper shade, brighter light.
            let curved = light + 0.10 * light * (1.0 - light) * (2.0 * light - 0.9);
            dot.0[channel] = sample(curved * 255.0 * corner * warm + grain);
        }
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn sample(light: f64) -> u8 {
    light.round().clamp(0.0, 255.0) as u8
}
