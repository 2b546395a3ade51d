import { useState } from 'preact/hooks';
import type { FixtureType, Mode } from '../../../../node/rig/fixture-type.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { nameOfAttribute } from './attributes.ts';
import { ChannelForm } from './channel.tsx';
import { byteOf, mistakesIn, type TableRow, tableOf, wholeModes, withChannel, withFine, withoutSlot } from './type-form.ts';

interface TableProps {
  readonly type: FixtureType;
  readonly mode: Mode;
  readonly onChange: (mode: Mode, wheels?: FixtureType['wheels']) => void;
}

/** The channels of a mode, as a maker's table has them; one at a time is open. */
export function Table({ type, mode, onChange }: TableProps) {
  const [open, setOpen] = useState<number | undefined>(undefined);
  const [refused, setRefused] = useState<string | undefined>(undefined);
  const mistakes = mistakesIn(mode);
  const rows = tableOf(mode);
  const put = (channels: readonly Mode['channels'][number][], wheels?: FixtureType['wheels']): boolean => {
    const whole = wholeModes([{ ...mode, name: nameFor(mode, channels), channels: [...channels] }]);
    setRefused(typeof whole === 'string' ? whole : undefined);
    const [next] = typeof whole === 'string' ? [] : whole;
    if (next === undefined) return false;
    onChange(next, wheels);
    return true;
  };
  const add = (): void => {
    if (put(withChannel(mode.channels, rows.length + 1))) setOpen(rows.length + 1);
  };
  return (
    <>
      <ol {...as.list} class="lights-table">
        {rows.map((row) => {
          const { slot, channel } = row;
          const own = mistakes.filter((one) => one.slot === slot);
          return (
            <li key={slot} class={own.length > 0 ? 'amiss' : undefined}>
              <button
                type="button"
                aria-expanded={open === slot}
                disabled={channel === undefined}
                onClick={() => setOpen(open === slot ? undefined : slot)}
              >
                <span class="lights-slot">{slot}</span>
                <strong>{rowInWords(row)}</strong>
                {own.length > 0 && open !== slot && <em>{own[0]?.message}</em>}
              </button>
              {open === slot && channel !== undefined && (
                <ChannelForm
                  type={type}
                  channel={channel}
                  mistakes={own}
                  onChange={(next, wheels) =>
                    put(
                      mode.channels.map((one) => (one === channel ? next : one)),
                      wheels,
                    )
                  }
                  onFine={(on) => put(withFine(mode.channels, slot, on))}
                  onInsert={() => put(withChannel(mode.channels, slot))}
                  onTakeOut={
                    mode.channels.length < 2
                      ? undefined
                      : () => {
                          setOpen(undefined);
                          put(withoutSlot(mode.channels, slot));
                        }
                  }
                />
              )}
            </li>
          );
        })}
      </ol>
      {refused !== undefined && (
        <p class="trouble urgent" role="alert">
          {refused}
        </p>
      )}
      <Push disabled={rows.length >= 512} onClick={add}>
        Add channel {rows.length + 1}
      </Push>
    </>
  );
}

/** `Dimmer, 16 bit`, `Shutter 0–31, strobe 64–255`. */
function rowInWords({ channel, fineOf }: TableRow): string {
  if (fineOf !== undefined)
    return `Finer part of ${fineOf.slot}, ${nameOfAttribute(fineOf.functions[0]?.attribute ?? 'NoFeature')}`;
  if (channel === undefined) return 'Nothing that is used';
  const { functions, fine, part } = channel;
  const jobs = functions.map(({ attribute, name, from, to }) => {
    const called = attribute === 'NoFeature' && name !== undefined ? `, “${name}”` : '';
    const range = functions.length === 1 ? called : ` ${byteOf(channel, from)}–${byteOf(channel, to)}`;
    return `${nameOfAttribute(attribute)}${range}`;
  });
  return `${jobs.join(', ')}${part === undefined ? '' : `, cell ${part}`}${fine === undefined ? '' : ', 16 bit'}`;
}

/** A mode that nobody has named is called by how many channels it takes. */
function nameFor({ name, ...mode }: Mode, channels: Mode['channels'] | readonly Mode['channels'][number][]): string {
  if (!/^\d+ channels?$/.test(name)) return name;
  const { length } = tableOf({ ...mode, name, channels: [...channels] });
  return `${length} ${length === 1 ? 'channel' : 'channels'}`;
}
