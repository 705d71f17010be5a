//! Pictures as image objects: pixels without loss, what lets the paper show as a soft mask. A picture that stands on
//! several pages is there once.

use super::{Numbers, packed};
use crate::drawing::Image;
use crate::output::png::{self, Spilled};
use pdf_writer::{Filter, Finish, Pdf, Ref};

/// A picture and the objects that hold it.
struct Held {
    image: Image,
    spilled: Spilled,
    object: Ref,
    mask: Ref,
}

/// The pictures of a document that can be read.
#[derive(Default)]
pub struct Images {
    held: Vec<Held>,
}

impl Images {
    pub fn new<'a>(images: impl Iterator<Item = &'a Image>, numbers: &mut Numbers) -> Images {
        let mut held: Vec<Held> = Vec::new();
        for image in images {
            if held.iter().any(|h| same(&h.image, image)) {
                continue;
            }
            if let Some(spilled) = png::spilled(&image.bytes, image.size, image.spill) {
                let (object, mask) = (numbers.next(), numbers.next());
                held.push(Held { image: image.clone(), spilled, object, mask });
            }
        }
        Images { held }
    }

    /// The name of a picture in every page's resources, and how far it is drawn out beyond its box, mm.
    pub fn find(&self, image: &Image) -> Option<(String, (f64, f64))> {
        let index = self.held.iter().position(|h| same(&h.image, image))?;
        Some((name(index), self.held.get(index)?.spilled.spill))
    }

    pub fn resources(&self) -> impl Iterator<Item = (String, Ref)> + '_ {
        self.held.iter().enumerate().map(|(index, held)| (name(index), held.object))
    }

    pub fn write(&self, pdf: &mut Pdf) {
        for Held { spilled, object, mask, .. } in &self.held {
            let raster = &spilled.raster;
            let (width, height) = (raster.width as i32, raster.height as i32);
            let pixels = raster.pixels.as_chunks::<4>().0;
            let colours: Vec<u8> = pixels.iter().flat_map(|[r, g, b, _]| [*r, *g, *b]).collect();
            let opacity: Vec<u8> = pixels.iter().map(|[.., opacity]| *opacity).collect();
            let see_through = opacity.iter().any(|o| *o < 255);
            let bytes = packed(&colours);
            let mut writer = pdf.image_xobject(*object, &bytes);
            writer.width(width).height(height).bits_per_component(8).filter(Filter::FlateDecode);
            writer.color_space().device_rgb();
            if see_through {
                writer.s_mask(*mask);
            }
            writer.finish();
            if see_through {
                let bytes = packed(&opacity);
                let mut writer = pdf.image_xobject(*mask, &bytes);
                writer.width(width).height(height).bits_per_component(8).filter(Filter::FlateDecode);
                writer.color_space().device_gray();
            }
        }
    }
}

fn name(index: usize) -> String {
    format!("Picture{}", index + 1)
}

/// The same pixels for the same size of paper.
fn same(a: &Image, b: &Image) -> bool {
    a.bytes == b.bytes && a.size == b.size && a.spill == b.spill
}
