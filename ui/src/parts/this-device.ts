/** What kind of thing this is, as a first guess: browsers say no more than the kind of thing they run on. */
export const guessedName = (): string => {
  const agent = navigator.userAgent;
  // A tablet of one maker calls itself a computer; its glass gives it away.
  if (/iPad|Tablet/.test(agent) || (/Macintosh/.test(agent) && navigator.maxTouchPoints > 1)) return 'Tablet';
  if (/iPhone|Android|Mobile/.test(agent)) return 'Phone';
  return 'Laptop';
};
