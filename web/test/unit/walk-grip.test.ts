import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';

const vibrate = vi.fn<(pattern: number[]) => boolean>();
const onPhone = new Map<string, string>();

beforeEach(() => {
  vi.resetModules();
  onPhone.clear();
  vibrate.mockReset();
  vi.stubGlobal('localStorage', { getItem: (key: string) => onPhone.get(key) ?? null, setItem: (key: string, value: string) => onPhone.set(key, value) });
  vi.stubGlobal('navigator', { vibrate });
});

afterEach(() => vi.unstubAllGlobals());

/** The pages as they start on a phone. */
async function started() {
  return { ...(await import('../../src/walk/grip')), ...(await import('../../src/walk/tick')) };
}

describe('how this phone is held', () => {
  it('is for the right hand, felt and not heard, until someone says otherwise', async () => {
    expect((await started()).grip.value).toEqual({ left: false, buzz: true, sound: false });
  });

  it('is kept over a start of the pages', async () => {
    (await started()).setGrip({ left: true, sound: true });
    vi.resetModules();
    expect((await started()).grip.value).toEqual({ left: true, buzz: true, sound: true });
  });

  it.each(['nonsense', '7', '{"left":"yes"}'])('is as at first where %s was kept', async (text) => {
    onPhone.set('benchtrail.walk.grip', text);
    expect((await started()).grip.value).toEqual({ left: false, buzz: true, sound: false });
  });

  it('can be set where the browser keeps nothing', async () => {
    vi.stubGlobal('localStorage', undefined);
    const { grip, setGrip } = await started();
    setGrip({ left: true });
    expect(grip.value.left).toBe(true);
  });
});

describe('a tick', () => {
  it('is felt once for none seen, twice for a find, and not at all when it is switched off', async () => {
    const { setGrip, tick } = await started();
    tick('none');
    tick('seen');
    setGrip({ buzz: false });
    tick('seen');
    expect(vibrate.mock.calls).toEqual([[[15]], [[15, 50, 15]]]);
  });

  it('does no harm where the phone cannot', async () => {
    vi.stubGlobal('navigator', {});
    const { setGrip, tick, readyToTick, canBuzz, canSound } = await started();
    setGrip({ sound: true });
    expect([canBuzz(), canSound()]).toEqual([false, false]);
    expect(() => {
      readyToTick();
      tick('seen');
    }).not.toThrow();
  });

  it('does no harm where the browser refuses', async () => {
    vibrate.mockImplementation(() => {
      throw new Error('refused');
    });
    const { tick } = await started();
    expect(() => tick('none')).not.toThrow();
  });

  it('is heard higher for a find, only when sound is switched on', async () => {
    const heard: number[] = [];
    class Audio {
      state = 'running';
      currentTime = 0;
      destination = {};
      createGain = () => ({ gain: { setValueAtTime: vi.fn(), exponentialRampToValueAtTime: vi.fn() }, connect: vi.fn() });
      createOscillator = () => {
        const frequency = { value: 0 };
        return { frequency, connect: (to: { connect: () => void }) => to, start: () => heard.push(frequency.value), stop: vi.fn() };
      };
    }
    vi.stubGlobal('AudioContext', Audio);
    const { setGrip, tick, readyToTick } = await started();
    readyToTick();
    tick('none');
    setGrip({ sound: true });
    readyToTick();
    tick('none');
    tick('seen');
    expect(heard).toEqual([520, 1040]);
  });
});
