//! What a JPEG file is made of, as far as a printer's document needs to know (ITU-T T.81, annex B).

/// What the header of a JPEG file says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// Which coding: 0 baseline, 1 extended, 2 progressive, others seldom (the last digit of SOF).
    pub coding: u8,
    /// Bits of a sample.
    pub bits: u8,
    /// Channels: 1 grey, 3 colour, 4 printing inks.
    pub channels: u8,
    /// Whether the three channels are named R, G and B.
    pub named_rgb: bool,
    /// The colour transform that an Adobe segment names, if there is one.
    pub adobe: Option<u8>,
    /// Where the picture ends, if it does.
    pub end: Option<usize>,
}

impl Head {
    /// Whether a PDF can hold the file as it is (ISO 32000-1, 7.4.8).
    pub fn fits_pdf(&self) -> bool {
        self.coding <= 2 && self.bits == 8 && matches!(self.channels, 1 | 3 | 4)
    }
}

/// Reads the segments of a JPEG file; nothing if they make no sense.
pub fn head(bytes: &[u8]) -> Option<Head> {
    if bytes.get(..2)? != [0xff, 0xd8] {
        return None;
    }
    let mut head: Option<Head> = None;
    let mut adobe = None;
    let mut at = 2;
    loop {
        let Some(&marker) = marker(bytes, &mut at) else {
            return head.map(|head| Head { adobe, ..head });
        };
        match marker {
            0xd9 => return head.map(|head| Head { adobe, end: Some(at), ..head }),
            // Restarts and the lone TEM have no length.
            0xd0..=0xd7 | 0x01 => continue,
            _ => {}
        }
        let Some(segment) = segment(bytes, at) else {
            return head.map(|head| Head { adobe, ..head });
        };
        at += 2 + segment.len();
        match marker {
            // The frame: all SOF but DHT, JPG and DAC, which share their range.
            0xc0..=0xcf if !matches!(marker, 0xc4 | 0xc8 | 0xcc) => {
                head = Some(frame(marker, segment)?)
            }
            0xee if segment.starts_with(b"Adobe") => adobe = segment.get(11).copied(),
            0xda => skip_scan(bytes, &mut at),
            _ => {}
        }
    }
}

/// The next marker; `at` moves behind it. Any byte may be filled up with 0xff.
fn marker<'a>(bytes: &'a [u8], at: &mut usize) -> Option<&'a u8> {
    if bytes.get(*at) != Some(&0xff) {
        return None;
    }
    while bytes.get(*at) == Some(&0xff) {
        *at += 1;
    }
    let marker = bytes.get(*at);
    *at += 1;
    marker
}

/// What stands in a segment, its length left out.
fn segment(bytes: &[u8], at: usize) -> Option<&[u8]> {
    let length = usize::from(u16::from_be_bytes([*bytes.get(at)?, *bytes.get(at + 1)?]));
    bytes.get(at + 2..at + length.max(2))
}

fn frame(marker: u8, segment: &[u8]) -> Option<Head> {
    let names: Vec<u8> =
        segment.get(6..)?.chunks(3).filter_map(|part| part.first().copied()).collect();
    Some(Head {
        coding: marker & 0xf,
        bits: *segment.first()?,
        channels: *segment.get(5)?,
        named_rgb: names == *b"RGB",
        adobe: None,
        end: None,
    })
}

/// Moves behind the coded dots of a scan: to the next marker that is no restart.
fn skip_scan(bytes: &[u8], at: &mut usize) {
    while let Some(next) =
        bytes.get(*at..).and_then(|rest| rest.iter().position(|byte| *byte == 0xff))
    {
        *at += next;
        match bytes.get(*at + 1) {
            Some(0x00 | 0xd0..=0xd7) => *at += 2,
            Some(0xff) => *at += 1,
            _ => return,
        }
    }
    *at = bytes.len();
}
