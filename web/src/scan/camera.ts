/** Why there is no picture. */
export type Trouble = 'insecure' | 'none' | 'refused' | 'busy';

/** What of a track's abilities is asked for here; browsers' own types leave the light out. */
interface Abilities extends MediaTrackCapabilities {
  torch?: boolean;
}

interface Wish extends MediaTrackConstraintSet {
  torch?: boolean;
}

/** Why the camera did not open, from what the browser threw. */
export function troubleOf(thrown: unknown): Trouble {
  switch (thrown instanceof Error || thrown instanceof DOMException ? thrown.name : '') {
    case 'NotAllowedError':
    case 'SecurityError':
      return 'refused';
    case 'NotFoundError':
    case 'OverconstrainedError':
      return 'none';
    default:
      return 'busy'; // NotReadableError, AbortError: it is there and does not start
  }
}

/** What stands in the way before anybody is asked: browsers hide the camera from plain http. */
export function troubleBefore(): Trouble | null {
  if (!isSecureContext) return 'insecure';
  return 'mediaDevices' in navigator ? null : 'none';
}

/** Opens the camera that looks away from the person, where there are two. */
export function openCamera(): Promise<MediaStream> {
  return navigator.mediaDevices.getUserMedia({
    audio: false,
    video: { facingMode: { ideal: 'environment' }, width: { ideal: 1280 }, height: { ideal: 720 } },
  });
}

/** Stops it, so that its lamp goes out. */
export function closeCamera(stream: MediaStream): void {
  for (const track of stream.getTracks()) track.stop();
}

/** Whether the camera has a light of its own that can be switched. */
export function hasLight(stream: MediaStream): boolean {
  const track = stream.getVideoTracks()[0];
  // Some browsers have no getCapabilities, whatever their types say.
  if (!track || !('getCapabilities' in track)) return false;
  const abilities: Abilities = track.getCapabilities();
  return abilities.torch === true;
}

/** Switches the light. Answers whether it is as wished. */
export async function switchLight(stream: MediaStream, on: boolean): Promise<boolean> {
  const wish: Wish = { torch: on };
  try {
    await stream.getVideoTracks()[0]?.applyConstraints({ advanced: [wish] });
    return true;
  } catch {
    return false;
  }
}
