import { useEffect } from 'preact/hooks';
import { settings } from '../settings.ts';

/** Browsers lend it to pages of a secure origin only; on a plain network address the phone's own screen time-out counts. */
export const canStayAwake = 'wakeLock' in navigator;

/** Keeps the screen on while the caller is shown, if the phone is set so. The browser takes the lock whenever the page is hidden. */
export function useWakeLock(): void {
  const { awake } = settings.value;
  useEffect(() => {
    if (!awake || !canStayAwake) return;
    let lock: WakeLockSentinel | undefined;
    let gone = false;
    const take = () => {
      if (document.visibilityState !== 'visible' || (lock !== undefined && !lock.released)) return;
      navigator.wakeLock.request('screen').then(
        (taken) => {
          lock = taken;
          if (gone) void taken.release();
        },
        () => {
          // A battery saver refuses it: the phone's own time-out counts then.
        },
      );
    };
    take();
    document.addEventListener('visibilitychange', take);
    return () => {
      gone = true;
      document.removeEventListener('visibilitychange', take);
      void lock?.release();
    };
  }, [awake]);
}
