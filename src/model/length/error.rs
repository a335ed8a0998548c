//! Why a text is no length, and what to write instead.

use crate::model::Fault;
/// What is wrong with a text that is no length, and what to write where that can be told.
pub(super) fn unreadable(whole: &str) -> Fault {
    let whole = whole.trim();
    let is_number =
        |text: &str| !text.is_empty() && text.chars().all(|digit| digit.is_ascii_digit());
    if let Some((ones, decimals)) = whole.split_once(',')
        && is_number(ones)
        && is_number(decimals.split(' ').next().unwrap_or_default())
    {
        let help = format!("write {ones}.{decimals}, with a point");
        return Fault::new(format!("`{whole}` has a comma"), help);
    }
    let times = |sign| worked_out(whole, sign, |one, other| one * other);
    if let Some(product) = times('*').or_else(|| times('×')).or_else(|| times('x')) {
        let message = format!("`{whole}` is a multiplication, not a length");
        return Fault::new(message, format!("write what it comes to: {product}"));
    }
    if let Some(share) = worked_out(whole, '/', |one, other| one / other) {
        let message = format!("`{whole}` is a division, not a length");
        return Fault::new(message, format!("write what it comes to: {share}"));
    }
    if whole.contains(['\'', '′']) || whole.to_lowercase().ends_with("ft") {
        let message = format!("`{whole}` is in feet");
        return Fault::new(message, "write it in inches: 12 of them for each foot");
    }
    Fault::new(
        format!("`{whole}` is not a length"),
        "write it like 4 1/2, 4.5, 114 mm, 27 pt or 1/3 page",
    )
}

/// Two numbers with a sign between them worked out, to the thousandth.
fn worked_out(whole: &str, sign: char, work: impl Fn(f64, f64) -> f64) -> Option<String> {
    let (one, other) = whole.split_once(sign)?;
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|_| text.len() < 12);
    let result = work(number(one)?, number(other)?);
    let text = format!("{result:.3}");
    result.is_finite().then(|| text.trim_end_matches('0').trim_end_matches('.').to_owned())
}
