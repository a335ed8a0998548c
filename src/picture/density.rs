//! How large a picture says it is: the dots an inch that a scanner noted in its file.

use super::Format;

/// Fewer dots an inch are no scanner's: cameras and screens write 72 or 96, which mean nothing (common
/// practice, no source).
const LEAST: f64 = 100.0;
/// More are no scanner's either.
const MOST: f64 = 10_000.0;
/// Centimetres in an inch, and inches in a metre.
const CENTIMETRES: f64 = 2.54;
const INCHES: f64 = 39.370_078_740_157_48;

/// Dots an inch across and down, as stored: of JPEG what JFIF 1.02 tells, of PNG what its pHYs chunk does
/// (ISO/IEC 15948, 11.3.5.3).
pub(super) fn density(bytes: &[u8], format: Format) -> Option<[f64; 2]> {
    let found = match format {
        Format::Jpeg => jfif(bytes),
        Format::Png => png(bytes),
        Format::Tiff | Format::WebP => None,
    };
    found.filter(|dots| dots.iter().all(|dots| (LEAST..=MOST).contains(dots)))
}

fn jfif(bytes: &[u8]) -> Option<[f64; 2]> {
    // The first segment, of at least 14 bytes: its name, a version, the unit, dots across and down.
    let segment = bytes.get(2..18)?;
    if segment.get(..2)? != [0xff, 0xe0] || segment.get(4..9)? != b"JFIF\0" {
        return None;
    }
    let number =
        |at: usize| Some(f64::from(u16::from_be_bytes(segment.get(at..at + 2)?.try_into().ok()?)));
    let unit = match segment.get(11)? {
        1 => 1.0,
        2 => CENTIMETRES,
        _ => return None,
    };
    Some([number(12)? * unit, number(14)? * unit])
}

fn png(bytes: &[u8]) -> Option<[f64; 2]> {
    let mut at = 8_usize;
    loop {
        let length = u32::from_be_bytes(bytes.get(at..at.checked_add(4)?)?.try_into().ok()?);
        let kind = bytes.get(at + 4..at + 8)?;
        let data = at + 8;
        match kind {
            b"pHYs" => {
                let number = |at: usize| {
                    Some(f64::from(u32::from_be_bytes(bytes.get(at..at + 4)?.try_into().ok()?)))
                };
                let is_metre = *bytes.get(data + 8)? == 1;
                return is_metre.then_some([number(data)? / INCHES, number(data + 4)? / INCHES]);
            }
            b"IDAT" | b"IEND" => return None,
            _ => at = data.checked_add(usize::try_from(length).ok()?)?.checked_add(4)?,
        }
    }
}
