import type { AttributeName } from '../../../../node/core/attributes.ts';
import type { Channel } from '../../../../node/rig/fixture-type.ts';
import { jobOf, plainChannel } from './type-form.ts';

/** What manuals call the jobs of channels. The first that fits counts; what fits none is kept by its name and not used. */
const words: readonly (readonly [RegExp, AttributeName])[] = [
  [/^(?!.*\b(macro|auto|prog|sound|effect|mode)).*\b(strobe|flash)\w*\b.*\b(speed|rate|frequency)\b/, 'Shutter1Strobe'],
  [/\b(macro|auto|program|programme|sound|speed|delay|reset|mode|curve|control|effect|chase)/, 'NoFeature'],
  [/\b(pan|tilt)\b.*\b(rotat|endless|continuous|spin)/, 'PanRotate'],
  [/\bpan\b/, 'Pan'],
  [/\btilt\b/, 'Tilt'],
  [/\bgobo\b.*\b(rotat|turn|spin|index)/, 'Gobo1PosRotate'],
  [/\bgobo\b.*\b2\b|\b(second|2nd)\b.*\bgobo\b/, 'Gobo2'],
  [/\bgobo\b/, 'Gobo1'],
  [/\bprism\b.*\b(rotat|turn|spin)/, 'Prism1PosRotate'],
  [/\bprism\b/, 'Prism1'],
  [/\bcolou?r\b.*\bwheel\b.*\b2\b|\b(second|2nd)\b.*\bcolou?r\b.*\bwheel\b/, 'Color2'],
  [/\bcolou?r\b.*\bwheel\b|\bcolou?rs?$/, 'Color1'],
  [/\bcto\b|\bwarm\b.*\bfilter\b/, 'CTO'],
  [/\bcyan\b.*\bfilter\b/, 'ColorSub_C'],
  [/\bmagenta\b.*\bfilter\b/, 'ColorSub_M'],
  [/\byellow\b.*\bfilter\b/, 'ColorSub_Y'],
  // How long or how bright the flashes are is not how fast.
  [/\b(strob\w*|flash\w*)\b.*\b(duration|length|width|time)\b/, 'NoFeature'],
  [/\b(strob\w*|flash\w*)\b.*\b(intensity|brightness)\b/, 'Dimmer'],
  [/\bstrobe|\bstrob|\bflash/, 'Shutter1Strobe'],
  [/\bshutter\b/, 'Shutter1'],
  // Of all colours; what one colour is dimmed by is that colour.
  [/\bmaster\b|\b(total|general|overall|all|rgb\w*)\b.*\bdim/, 'Dimmer'],
  [/\bwarm ?white\b|\bww\b/, 'ColorAdd_WW'],
  [/\b(cold|cool) ?white\b|\bcw\b/, 'ColorAdd_CW'],
  [/\buv\b|\bultra ?violet\b/, 'ColorAdd_UV'],
  [/\bamber\b|^a$/, 'ColorAdd_RY'],
  [/\blime\b/, 'ColorAdd_GY'],
  [/\bred\b|^r$/, 'ColorAdd_R'],
  [/\bgreen\b|^g$/, 'ColorAdd_G'],
  [/\bblue\b|^b$/, 'ColorAdd_B'],
  [/\bwhite\b|^w$/, 'ColorAdd_W'],
  [/\bcyan\b/, 'ColorAdd_C'],
  [/\bmagenta\b/, 'ColorAdd_M'],
  [/\byellow\b/, 'ColorAdd_Y'],
  [/\bpink\b/, 'ColorAdd_RM'],
  [/\bpurple\b|\bviolet\b/, 'ColorAdd_BM'],
  [/\bdim\b|\bdimm(er|ing)\b|\bintensity\b|\bbrightness\b/, 'Dimmer'],
  [/\bzoom\b/, 'Zoom'],
  [/\bfocus\b/, 'Focus1'],
  [/\biris\b/, 'Iris'],
  [/\bfrost\b/, 'Frost1'],
  [/\bhaze\b|\bhazer\b/, 'Haze1'],
  [/\bfog\b|\bsmoke\b/, 'Fog1'],
  [/\bfan\b/, 'Fan1'],
];

const isFine = (text: string): boolean => /\bfine\b|\b16[ -]?bit\b|\blsb\b/.test(text);

function attributeOf(text: string): AttributeName {
  return words.find(([form]) => form.test(text))?.[1] ?? 'NoFeature';
}

/**
 * The list of channels that a manual has, one a line, as it is typed or copied: `1 Dimmer`, `CH2: Red`, `3 - Pan fine`; without numbers
 * they are counted. A line that says “fine” is the lower byte of the last channel that does the same. @returns a sentence where it is none
 */
export function readTable(text: string): Channel[] | string {
  const lines = text
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter(Boolean);
  if (lines.length === 0) return 'Write one channel a line, such as: 1 Dimmer.';
  const channels: Channel[] = [];
  let slot = 0;
  for (const [i, line] of lines.entries()) {
    const found = /^(?:ch(?:annel)?\.?\s*)?(\d{1,3})?\s*[.:)\-–|\t]*\s*(.*)$/i.exec(line);
    const named = (found?.[2] ?? '').trim();
    const asked = found?.[1] === undefined ? slot + 1 : Number(found[1]);
    if (named === '') return `Line ${i + 1} says no job: “${line}”.`;
    if (asked <= slot) return `Line ${i + 1} is channel ${asked}, but the line before it is channel ${slot}.`;
    if (asked > 512) return `Line ${i + 1}: a lamp has at most 512 channels.`;
    // What the list passes over does nothing that is known.
    for (slot++; slot < asked; slot++) channels.push(plainChannel(slot));
    add(channels, slot, named);
  }
  return channels;
}

function add(channels: Channel[], slot: number, named: string): void {
  const plain = named.toLowerCase();
  const attribute = attributeOf(plain);
  if (isFine(plain)) {
    const upper = channels.findLastIndex(
      ({ fine, functions }) => fine === undefined && functions[0]?.attribute === attribute && attribute !== 'NoFeature',
    );
    const channel = channels[upper];
    if (channel !== undefined) {
      channels[upper] = { ...channel, fine: slot, functions: [jobOf(attribute, 0, 65_535)] };
      return;
    }
  }
  const job = jobOf(attribute, 0, 255);
  channels.push({ slot, functions: [attribute === 'NoFeature' ? { ...job, name: named.slice(0, 80) } : job] });
}
