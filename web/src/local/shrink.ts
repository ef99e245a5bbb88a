/** The longest side of a picture that is kept, in pixels: enough to tell a nymph from an empty case on a close-up. */
const longest = 1600;

const quality = 0.82;

/** A photo made small enough to keep and send: at most 1600 pixels long, as JPEG, upright, without what the camera wrote beside it. Rejects what is no picture. */
export async function shrink(photo: Blob): Promise<Blob> {
  const picture = await createImageBitmap(photo, { imageOrientation: 'from-image' });
  try {
    const scale = Math.min(1, longest / Math.max(picture.width, picture.height));
    const canvas = document.createElement('canvas');
    canvas.width = Math.max(1, Math.round(picture.width * scale));
    canvas.height = Math.max(1, Math.round(picture.height * scale));
    const context = canvas.getContext('2d');
    if (!context) throw new Error('no canvas');
    context.imageSmoothingQuality = 'high';
    context.drawImage(picture, 0, 0, canvas.width, canvas.height);
    return await new Promise((resolve, reject) => {
      canvas.toBlob((made) => (made ? resolve(made) : reject(new Error('no picture'))), 'image/jpeg', quality);
    });
  } finally {
    picture.close();
  }
}
