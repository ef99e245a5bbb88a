/** Reads the codes in a picture. `thorough`: takes longer, for a picture that is not followed by another. */
export type Read = (canvas: HTMLCanvasElement, thorough: boolean) => Promise<string[]>;

/** What of the browsers' own reader is used here. */
interface Detector {
  detect(source: CanvasImageSource): Promise<readonly { rawValue: string }[]>;
}

declare const BarcodeDetector: (new (options: { formats: string[] }) => Detector) & { getSupportedFormats(): Promise<readonly string[]> };

async function openDetector(): Promise<Detector | null> {
  if (typeof BarcodeDetector === 'undefined') return null;
  try {
    return (await BarcodeDetector.getSupportedFormats()).includes('qr_code') ? new BarcodeDetector({ formats: ['qr_code'] }) : null;
  } catch {
    return null;
  }
}

const fetchOwn = async (): Promise<Read> => (await import('./own-reader')).openOwnReader();

/** Readies the browser's own reader where it has one, else ours. Rejects where ours cannot be fetched. */
export async function openReader(openOwn: () => Promise<Read> = fetchOwn): Promise<Read> {
  const detector = await openDetector();
  if (!detector) return openOwn();
  let own: Read | null = null;
  return async (canvas, thorough) => {
    if (own) return own(canvas, thorough);
    try {
      return (await detector.detect(canvas)).map(({ rawValue }) => rawValue);
    } catch {
      own = await openOwn(); // some phones say that they can and cannot
      return own(canvas, thorough);
    }
  };
}

const frameSide = 720;
const pictureSide = 1600;

/** Paints a canvas anew. One canvas serves all frames: phones have little room for them. */
function paint(canvas: HTMLCanvasElement, width: number, height: number, draw: (context: CanvasRenderingContext2D) => void): void {
  canvas.width = Math.max(1, Math.round(width));
  canvas.height = Math.max(1, Math.round(height));
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (context) draw(context);
}

/** Paints the middle square of what the camera sees: as much as is shown, so that what is read is what one aims at. */
export function paintFrame(canvas: HTMLCanvasElement, video: HTMLVideoElement): void {
  const { videoWidth: width, videoHeight: height } = video;
  const from = Math.min(width, height);
  const side = Math.min(from, frameSide);
  paint(canvas, side, side, (context) => context.drawImage(video, (width - from) / 2, (height - from) / 2, from, from, 0, 0, side, side));
}

/** The codes in a picture from a file. Rejects what is no picture. */
export async function readPicture(read: Read, file: Blob): Promise<string[]> {
  const picture = await createImageBitmap(file, { imageOrientation: 'from-image' });
  try {
    const canvas = document.createElement('canvas');
    const scale = Math.min(1, pictureSide / Math.max(picture.width, picture.height));
    paint(canvas, picture.width * scale, picture.height * scale, (context) => context.drawImage(picture, 0, 0, canvas.width, canvas.height));
    return await read(canvas, true);
  } finally {
    picture.close();
  }
}
