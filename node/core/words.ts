/** How the things that all parts speak of are put into words. */
export const protocolNames = { sacn: 'sACN', artnet: 'Art-Net' } as const;

/** `1, 2 and 3`. */
export const listed = (items: readonly string[]): string =>
  items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`;

/** `1 light`, `2 lights`: for what takes an s. */
export const counted = (count: number, what: string): string => `${count} ${what}${count === 1 ? '' : 's'}`;
