import { useEffect, useRef, useState } from 'preact/hooks';
import type { FixtureSummary } from '../../../node/api/contract.ts';
import { type Address, addressesOf, givesLight, holds, standings, written } from '../parts/address.ts';
import { Push } from '../parts/push.tsx';
import { colourNames, picture } from '../state.ts';
import { letGo, light } from './hand.ts';
import { hand, put } from './held.ts';
import { byId, fixtures, type Picked, picked, places } from './page.ts';
import { SlotRow } from './slot.tsx';
import { fineOf } from './values.ts';

/** What was picked, in words: a fixture's slots, or a slot that is nobody's. */
export function Detail({ of }: { readonly of: Picked }) {
  const fixture = of.fixture === undefined ? undefined : byId.value.get(of.fixture);
  if (fixture !== undefined) return <FixtureDetail key={fixture.id} fixture={fixture} asked={of.slot} />;
  if (of.slot !== undefined) return <LooseSlot key={written(of.slot)} address={of.slot} />;
  return null;
}

function FixtureDetail({ fixture, asked }: { readonly fixture: FixtureSummary; readonly asked: Address | undefined }) {
  const { id, name, use, typeName, modeName } = fixture;
  const [open, setOpen] = useState<string>();
  const list = useRef<HTMLUListElement>(null);
  useEffect(() => {
    if (asked === undefined) return;
    list.current?.querySelector(`[data-slot="${asked.slot}"]`)?.scrollIntoView({ block: 'nearest' });
  }, [asked]);
  const held = [...hand.value.slots.values()].filter((one) => holds(fixture, one));
  const lit = hand.value.identify === id;
  return (
    <section class="wire-detail" aria-labelledby="wire-detail-name">
      <header>
        <h2 id="wire-detail-name">{name}</h2>
        <p class="quiet">
          {use}, at {addressesOf(fixture)}. <Light fixture={fixture} />
        </p>
        <div class="wire-acts">
          <Push pressed={lit} onClick={() => put(light(hand.value, lit ? undefined : id))}>
            {lit ? 'By hand: let go' : 'Light it up'}
          </Push>
          {held.length > 0 && (
            <Push onClick={() => put(held.reduce(letGo, hand.value))}>
              Let go of {held.length === 1 ? 'its slot' : `its ${held.length} slots`}
            </Push>
          )}
          <Close />
        </div>
      </header>
      <ul ref={list}>
        {standings(fixture).flatMap((standing) =>
          standing.channels.map((channel) => {
            const address = { universe: standing.universe, slot: channel.slot };
            const place = written(address);
            return (
              <SlotRow
                key={place}
                address={address}
                channel={channel}
                fine={fineOf(standing, channel)}
                marked={asked !== undefined && place === written(asked)}
                open={open === place}
                onOpen={() => setOpen(open === place ? undefined : place)}
              />
            );
          }),
        )}
      </ul>
      <p class="quiet">
        {typeName}, {modeName}.
      </p>
    </section>
  );
}

const Close = () => <Push onClick={() => (picked.value = undefined)}>Close</Push>;

function Light({ fixture }: { readonly fixture: FixtureSummary }) {
  if (!givesLight(fixture)) return <span>Gives no light of its own.</span>;
  const colour = picture.value[places.value.get(fixture.id) ?? -1] ?? 0;
  return <span>{colour === 0 ? 'Dark now.' : `Gives ${colourNames.value.nameOf(colour)} light now.`}</span>;
}

/** A slot to which no fixture of the show answers. It can be driven all the same: something may be plugged in that the show does not know. */
function LooseSlot({ address }: { readonly address: Address }) {
  const [open, setOpen] = useState(false);
  const carried = fixtures.value.some(({ universe }) => universe === address.universe);
  return (
    <section class="wire-detail" aria-labelledby="wire-detail-name">
      <header>
        <h2 id="wire-detail-name">Slot {written(address)}</h2>
        <p class="quiet">
          {carried
            ? 'No light of this show answers to it.'
            : `No light of this show is on universe ${address.universe}, so it is not sent.`}
        </p>
        <div class="wire-acts">
          <Close />
        </div>
      </header>
      {carried && (
        <ul>
          <SlotRow address={address} marked={false} open={open} onOpen={() => setOpen(!open)} />
        </ul>
      )}
    </section>
  );
}
