//! The app's icon as pixels: the same stand as in the page's own SVG icon, for phones that take none.

use image::{GrayImage, ImageEncoder as _, Luma, codecs::png::PngEncoder};

/// The lines of the icon on a ground of 64 by 64: from x, y to x, y. A stand: foot, post, head, saddle.
const LINES: [[f32; 4]; 6] = [
    [20.0, 54.0, 44.0, 54.0],
    [32.0, 54.0, 32.0, 28.0],
    [24.0, 28.0, 40.0, 28.0],
    [40.0, 28.0, 40.0, 22.0],
    [40.0, 22.0, 24.0, 22.0],
    [24.0, 22.0, 24.0, 28.0],
];
/// The axle above it.
const AXLE: [f32; 4] = [16.0, 13.0, 48.0, 13.0];
/// Half the width of a line.
const HALF: f32 = 2.6;

/// The icon as a PNG of `size` by `size` pixels, 16 to 1024: ink on white, with room at the edge so that
/// a phone may round it off.
#[must_use]
pub fn app_icon(size: u32) -> Vec<u8> {
    let size = size.clamp(16, 1024);
    let scale = 64.0 / size as f32;
    let icon = GrayImage::from_fn(size, size, |x, y| {
        let at = [(x as f32 + 0.5) * scale, (y as f32 + 0.5) * scale];
        let nearest =
            LINES.iter().chain([&AXLE]).map(|line| distance(at, line)).fold(f32::INFINITY, f32::min);
        // One pixel of the way from ink to ground, so that slants are smooth.
        let ground = ((nearest - HALF) / scale + 0.5).clamp(0.0, 1.0);
        Luma([(17.0 + ground * (255.0 - 17.0)) as u8])
    });
    let mut png = Vec::new();
    // Writing into memory does not fail; an empty file would be no icon, nothing worse.
    let written =
        PngEncoder::new(&mut png).write_image(icon.as_raw(), size, size, image::ExtendedColorType::L8);
    if written.is_ok() { png } else { Vec::new() }
}

/// The distance of a point from a line between two points.
fn distance([x, y]: [f32; 2], [x1, y1, x2, y2]: &[f32; 4]) -> f32 {
    let (dx, dy) = (x2 - x1, y2 - y1);
    let along = (((x - x1) * dx + (y - y1) * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
    (x - x1 - along * dx).hypot(y - y1 - along * dy)
}

#[cfg(test)]
mod as_a_phone_reads_it {
    use super::app_icon;

    #[test]
    fn a_png_of_its_size_with_ink_on_white() {
        let icon = image::load_from_memory(&app_icon(180)).unwrap().to_luma8();
        assert_eq!(icon.dimensions(), (180, 180));
        assert_eq!(icon.get_pixel(2, 2).0, [255]);
        // The middle of the post.
        assert_eq!(icon.get_pixel(90, 115).0, [17]);
    }
}
