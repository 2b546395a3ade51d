import type { FixtureSummary, ShowSummary } from '../../../node/api/contract.ts';
import { linesOf, TERMINATOR, UNIT_LOADS } from '../../../node/plan/patch/lines.ts';
import { byAddress, lastSlot, standings } from '../parts/address.ts';
import { as, SpokenAddress } from '../parts/spoken.tsx';
import { Dip } from './dip.tsx';

/** Which lamp gets which address: a table for every universe, in the order of the wire. */
export function Sheet({ show }: { readonly show: ShowSummary }) {
  const lamps = show.fixtures.flatMap(standings).sort(byAddress);
  const universes = [...new Set(lamps.map(({ universe }) => universe))];
  return (
    <>
      {universes.map((universe) => (
        <Universe key={universe} universe={universe} lamps={lamps.filter((one) => one.universe === universe)} />
      ))}
      <Lines lamps={lamps} />
      <p class="papers-how">
        Switches: binary, switch 1 counts 1, as is common. Lamps with a display take the number as it is. Some lamps count
        otherwise: their manual says.
      </p>
    </>
  );
}

function Universe({ universe, lamps }: { readonly universe: number; readonly lamps: readonly FixtureSummary[] }) {
  return (
    <table {...as.table}>
      <caption>Universe {universe}</caption>
      <thead {...as.rowgroup}>
        <tr {...as.row}>
          <th scope="col" {...as.columnheader}>
            Address
          </th>
          <th scope="col" {...as.columnheader}>
            Light
          </th>
          <th scope="col" {...as.columnheader}>
            For
          </th>
          <th scope="col" {...as.columnheader}>
            Type and mode to set
          </th>
          <th scope="col" {...as.columnheader}>
            Slots
          </th>
          <th scope="col" {...as.columnheader}>
            Switches
          </th>
        </tr>
      </thead>
      <tbody {...as.rowgroup}>
        {lamps.map((lamp) => (
          <Row key={`${lamp.id} ${lamp.address}`} lamp={lamp} />
        ))}
      </tbody>
    </table>
  );
}

function Row({ lamp }: { readonly lamp: FixtureSummary }) {
  const { name, use, typeName, modeName, universe, address, adjusted = [] } = lamp;
  const last = lastSlot(lamp);
  return (
    <tr {...as.row}>
      <td {...as.cell} class="papers-address">
        <SpokenAddress universe={universe} slot={address} />
      </td>
      <th scope="row" {...as.rowheader}>
        {name}
      </th>
      <td {...as.cell}>{use}</td>
      <td {...as.cell}>
        {typeName}; {modeName}
        {adjusted.length > 0 && <small>Set in Duskhand, not in the lamp: {adjusted.join(', ')}</small>}
      </td>
      <td {...as.cell} class="papers-slots">
        {last === address ? address : `${address}–${last}`}
      </td>
      <td {...as.cell}>
        <Dip address={address} />
      </td>
    </tr>
  );
}

/** How many cable runs it takes, each lamp counted as one unit load. */
function Lines({ lamps }: { readonly lamps: readonly FixtureSummary[] }) {
  const lines = linesOf(lamps);
  const several = (universe: number): boolean => lines.some((line) => line.universe === universe && line.number > 1);
  return (
    <section class="papers-lines">
      <h2>Lines</h2>
      <ul {...as.list}>
        {lines.map(({ universe, number, lamps: on }) => (
          <li key={`${universe}.${number}`}>
            Universe {universe}
            {several(universe) && `, line ${number}`}: {on.length} of {UNIT_LOADS} unit loads, {ends(on)}
          </li>
        ))}
      </ul>
      <p>
        {TERMINATOR} More than {UNIT_LOADS} on a line, or a branch, needs a splitter.
      </p>
    </section>
  );
}

function ends(lamps: readonly FixtureSummary[]): string {
  const [first, last] = [lamps[0]?.name, lamps.at(-1)?.name];
  return lamps.length === 1 ? `${first}` : `${first} to ${last}`;
}
