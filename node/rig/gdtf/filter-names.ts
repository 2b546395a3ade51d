/** What filters of these names let through of a white, in sRGB. Typical ones: common practice, from memory. */
const colours: Readonly<Record<string, string>> = {
  red: '#ff0000',
  orange: '#ff7f00',
  amber: '#ffb000',
  yellow: '#ffff00',
  lime: '#bfff00',
  green: '#00ff00',
  turquoise: '#00ffc0',
  aquamarine: '#60ffd0',
  cyan: '#00ffff',
  aqua: '#00ffff',
  blue: '#0000ff',
  congo: '#4000ff',
  violet: '#8000ff',
  purple: '#a000ff',
  lavender: '#c080ff',
  magenta: '#ff00ff',
  pink: '#ff60c0',
  salmon: '#ff8060',
  white: '#ffffff',
  open: '#ffffff',
  clear: '#ffffff',
};

/** The usual colour of a filter that is called so; undefined for what has none of its own, two halves among them. */
export const colourCalled = (name: string): string | undefined => {
  const [, shade, word = ''] = /^(?:(light|pale|dark|deep|primary)\s+)?([a-z]+)$/i.exec(name.trim()) ?? [];
  const colour = Object.hasOwn(colours, word.toLowerCase()) ? colours[word.toLowerCase()] : undefined;
  return colour !== undefined && /^(light|pale)$/i.test(shade ?? '') ? paler(colour) : colour;
};

/** Half way to white. */
const paler = (hex: string): string =>
  `#${[1, 3, 5].map((at) => Math.round((Number.parseInt(hex.slice(at, at + 2), 16) + 255) / 2).toString(16)).join('')}`;
