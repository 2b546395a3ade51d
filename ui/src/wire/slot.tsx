import { useState } from 'preact/hooks';
import type { ChannelSummary } from '../../../node/api/contract.ts';
import { MOST_BY_HAND } from '../../../node/core/remote.ts';
import { type Address, written } from '../parts/address.ts';
import { Push } from '../parts/push.tsx';
import { drive, driven, isFull, letGo } from './hand.ts';
import { hand, put } from './held.ts';
import { isFine, readValue, valueWords } from './values.ts';
import { levels, pulse } from './watching.ts';

interface SlotProps {
  readonly address: Address;
  /** Absent: no fixture answers to it. */
  readonly channel?: ChannelSummary | undefined;
  readonly fine?: ChannelSummary | undefined;
  /** It was asked for: it stands out. */
  readonly marked: boolean;
  readonly open: boolean;
  readonly onOpen: () => void;
}

/** One slot in words, and behind it the means to drive it. */
export function SlotRow({ address, channel, fine, marked, open, onOpen }: SlotProps) {
  // Figures follow the wire at a pace that can be read.
  pulse.value;
  const byte = levels.at(address.universe, address.slot);
  const fineByte = fine === undefined ? undefined : levels.at(address.universe, fine.slot);
  const held = driven(hand.value, address);
  const words =
    byte === undefined ? 'not heard yet' : channel === undefined ? `${byte} of 255` : valueWords(channel, byte, fineByte);
  const id = `slot-${address.universe}-${address.slot}`;
  const classes = [
    'wire-slot',
    held !== undefined && 'held',
    marked && 'marked',
    channel !== undefined && isFine(channel) && 'fine',
  ];
  return (
    <li class={classes.filter(Boolean).join(' ')} data-slot={address.slot}>
      <button type="button" class="wire-slot-head" aria-expanded={open} aria-controls={open ? id : undefined} onClick={onOpen}>
        <span class="label">{channel?.label ?? 'Unused'}</span>
        <span class="value">{words}</span>
        <span class="place quiet">
          slot {written(address)}
          {held === undefined ? '' : `, by hand at ${held}`}
        </span>
        <span class="raw quiet">{byte === undefined ? '' : `raw ${byte}`}</span>
      </button>
      {open && (
        <div id={id} class="wire-slot-hand">
          <Drive address={address} channel={channel} now={held ?? byte ?? 0} held={held !== undefined} />
        </div>
      )}
    </li>
  );
}

interface DriveProps {
  readonly address: Address;
  readonly channel: ChannelSummary | undefined;
  readonly now: number;
  readonly held: boolean;
}

function Drive({ address, channel, now, held }: DriveProps) {
  const [typed, setTyped] = useState<string>();
  const name = `${channel?.label ?? 'Slot'} ${written(address)}`;
  if (!held && isFull(hand.value)) return <p>{MOST_BY_HAND} slots are driven by hand already. Let one go first.</p>;
  const understood = typed === undefined ? undefined : readValue(channel, typed);
  const take = (): void => {
    if (understood !== undefined) put(drive(hand.value, address, understood));
    setTyped(undefined);
  };
  return (
    <>
      <input
        type="range"
        min={0}
        max={255}
        value={now}
        aria-label={`${name} by hand`}
        aria-valuetext={channel === undefined || isFine(channel) ? String(now) : valueWords(channel, now)}
        onInput={({ currentTarget }) => put(drive(hand.value, address, Number(currentTarget.value)))}
      />
      <form
        onSubmit={(event) => {
          event.preventDefault();
          take();
        }}
      >
        <label>
          <span class="spoken">{name} as a number or in its unit</span>
          <input
            type="text"
            enterkeyhint="done"
            autocomplete="off"
            value={typed ?? String(now)}
            onFocus={({ currentTarget }) => currentTarget.select()}
            onInput={({ currentTarget }) => setTyped(currentTarget.value)}
            onBlur={take}
          />
        </label>
        {held && <Push onClick={() => put(letGo(hand.value, address))}>Let go</Push>}
        <output class="quiet">{typed === undefined ? '0 to 255, 50 %, full, off' : meaning(channel, understood)}</output>
      </form>
    </>
  );
}

function meaning(channel: ChannelSummary | undefined, understood: number | undefined): string {
  if (understood === undefined) return 'Not understood: nothing is driven by it';
  const plain = channel === undefined || isFine(channel) ? '' : `, ${valueWords(channel, understood)}`;
  return `That is ${understood}${plain}`;
}
