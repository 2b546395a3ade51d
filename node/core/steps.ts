/** Work in steps of which each takes but a moment, so that frames can go out in between. What comes of it is what it returns. */
export type Steps<T> = Generator<void, T>;

/** All steps at once: where nobody waits. */
export function finish<T>(steps: Steps<T>): T {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}
