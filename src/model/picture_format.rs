//! Kinds of picture files.

use super::choices;

choices! {
    /// What kind of file a picture is.
    pub enum PictureFormat, "picture format", usual Jpeg {
        /// JPEG (ITU-T T.81).
        Jpeg = "jpeg",
        /// PNG (ISO/IEC 15948).
        Png = "png",
        /// TIFF 6.0.
        Tiff = "tiff",
        /// WebP (RFC 9649).
        WebP = "webp",
    }
}
