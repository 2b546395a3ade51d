/** What this browser keeps between visits. Storage may be switched off or full: then nothing is remembered, and nothing else is wrong. */
export function recall(key: string): string | undefined {
  try {
    return localStorage.getItem(`duskhand-${key}`) ?? undefined;
  } catch {
    return undefined;
  }
}

export function remember(key: string, text: string): void {
  try {
    localStorage.setItem(`duskhand-${key}`, text);
  } catch {
    // It is as it was until the page goes.
  }
}
