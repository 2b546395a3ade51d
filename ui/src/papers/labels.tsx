import type { ShowSummary } from '../../../node/api/contract.ts';
import { byAddress, written } from '../address.ts';
import { Dip } from './dip.tsx';

/** One label a lamp, to cut out and tape on. */
export const Labels = ({ show }: { readonly show: ShowSummary }) => (
  <ul class="labels">
    {[...show.fixtures].sort(byAddress).map(({ id, name, universe, address }) => (
      <li key={id}>
        <strong>{name}</strong>
        <span class="papers-address">{written({ universe, slot: address })}</span>
        <Dip address={address} />
      </li>
    ))}
  </ul>
);
