/** Upper ends of hues in degrees. */
const hues: readonly (readonly [number, string])[] = [
  [14, 'red'],
  [45, 'amber'],
  [68, 'yellow'],
  [160, 'green'],
  [200, 'cyan'],
  [255, 'blue'],
  [290, 'violet'],
  [345, 'pink'],
  [360, 'red'],
];

/** A packed sRGB colour by the plainest name that is still true. */
export function colourInWords(packed: number): string {
  const [red, green, blue] = [packed >> 16, (packed >> 8) & 255, packed & 255] as const;
  const most = Math.max(red, green, blue);
  const least = Math.min(red, green, blue);
  const dim = most < 70 ? 'dim ' : '';
  const saturation = most === 0 ? 0 : (most - least) / most;
  const spread = most - least || 1;
  const sixth = most === red ? (green - blue) / spread : most === green ? 2 + (blue - red) / spread : 4 + (red - green) / spread;
  const hue = (sixth * 60 + 360) % 360;
  const isPink = hue < 20 || hue > 345;
  if (saturation < 0.12) return `${dim}white`;
  if (saturation < 0.5 && isPink) return `${dim}pale pink`;
  if (saturation < 0.5 && hue < 68) return `${dim}warm white`;
  if (saturation < 0.2 && hue > 160 && hue < 255) return `${dim}cool white`;
  const name = hues.find(([end]) => hue < end)?.[1] ?? 'red';
  return `${dim}${saturation < 0.5 ? 'pale ' : ''}${name}`;
}
