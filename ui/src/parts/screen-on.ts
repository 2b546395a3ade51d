import { useEffect } from 'preact/hooks';

/** Frames a second of the clip that keeps a screen on: enough to count as playing. */
const RATE = 1;

/**
 * Keeps the screen on while the caller is shown and wants it. Browsers lend a lock for that to pages of a secure origin only; on a plain
 * network address a muted clip of one dark pixel, made here and played in a loop, does the same: a phone does not sleep while it plays one.
 */
export function useScreenOn(wanted: boolean): void {
  useEffect(() => {
    if (!wanted) return;
    const keeper = 'wakeLock' in navigator ? lock() : clip();
    keeper.take();
    document.addEventListener('visibilitychange', keeper.take);
    // Some browsers start a clip, or lend a lock, only after a touch.
    document.addEventListener('pointerup', keeper.take);
    return () => {
      document.removeEventListener('visibilitychange', keeper.take);
      document.removeEventListener('pointerup', keeper.take);
      keeper.letGo();
    };
  }, [wanted]);
}

interface Keeper {
  /** May be called again and again. */
  readonly take: () => void;
  readonly letGo: () => void;
}

/** The browser takes the lock away whenever the page is hidden. Where it is refused, by a battery saver for one, the clip has to do. */
function lock(): Keeper {
  let held: WakeLockSentinel | undefined;
  let gone = false;
  let instead: Keeper | undefined;
  return {
    take: () => {
      if (instead !== undefined) return instead.take();
      if (document.visibilityState !== 'visible' || (held !== undefined && !held.released)) return;
      navigator.wakeLock.request('screen').then(
        (taken) => {
          held = taken;
          if (gone) void taken.release();
        },
        () => {
          if (gone) return;
          instead = clip();
          instead.take();
        },
      );
    },
    letGo: () => {
      gone = true;
      instead?.letGo();
      void held?.release();
    },
  };
}

function clip(): Keeper {
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = 2;
  const context = canvas.getContext('2d');
  const video = document.createElement('video');
  video.muted = video.loop = true;
  video.playsInline = true;
  video.className = 'keeps-screen-on';
  video.setAttribute('aria-hidden', 'true');
  video.tabIndex = -1;
  let timer: ReturnType<typeof setInterval> | undefined;
  return {
    take: () => {
      if (!video.isConnected) {
        document.body.append(video);
        video.srcObject = canvas.captureStream(RATE);
        // A stream has a frame only when something is drawn.
        timer = setInterval(() => context?.fillRect(0, 0, 2, 2), 1000 / RATE);
      }
      if (document.visibilityState === 'visible' && video.paused) video.play().catch(() => undefined);
    },
    letGo: () => {
      clearInterval(timer);
      video.pause();
      video.srcObject = null;
      video.remove();
    },
  };
}
