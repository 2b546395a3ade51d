import { z } from 'zod';
import { outputSettings } from '../core/output-settings.ts';
import { plainText } from '../core/text.ts';
import { isZone } from '../core/zone.ts';

/** What belongs to this box and to no show: it stays when another show plays, and no show can change it. */
export const settingsDocument = z.strictObject({
  format: z.literal('duskhand-settings'),
  version: z.literal(1),
  /** What the node is called on the wire and on screens, from its next start on; absent: "Duskhand on" and the machine's name. */
  name: plainText.trim().min(1).max(60).optional(),
  /** Time zone in which the evening's times are meant, by the IANA database, `Europe/Lisbon`; absent: the machine's own. */
  zone: z.string().max(60).refine(isZone, { error: 'must be a time zone such as "Europe/Lisbon"' }).optional(),
  outputs: z
    .array(outputSettings)
    .max(16)
    .default([
      { id: 'sacn', protocol: 'sacn', to: 'multicast', family: 'IPv4', priority: 100 },
      { id: 'artnet', protocol: 'artnet', to: 'auto', sync: false, portAddresses: {} },
    ]),
});

export type Settings = z.infer<typeof settingsDocument>;
