import { useEffect } from 'preact/hooks';

/** Browsers lend it to pages of a secure origin only; on a plain network address the phone's own screen time-out counts. */
export const canStayAwake = 'wakeLock' in navigator;

/** Keeps the screen on while the caller is shown and wants it. The browser takes the lock away whenever the page is hidden. */
export function useWakeLock(wanted: boolean): void {
  useEffect(() => {
    if (!wanted || !canStayAwake) return;
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
  }, [wanted]);
}
