/** Which page of a show this phone was on last: a thumb finds its place again after the phone slept. */
const key = (show: string): string => `duskhand-page-${show}`;

export function rememberedPage(show: string): string | null {
  try {
    return localStorage.getItem(key(show));
  } catch {
    return null;
  }
}

export function rememberPage(show: string, page: string): void {
  try {
    localStorage.setItem(key(show), page);
  } catch {
    // Storage is switched off: the first page it is.
  }
}
