import { metresOfCentimetres, readMetres, writeMetres } from './amounts.ts';
import { reading, Typed } from './typed.tsx';

interface MetresProps {
  readonly label: string;
  /** Undefined: nobody has said. */
  readonly value: number | undefined;
  readonly range: readonly [least: number, most: number];
  readonly set: (value: number, gesture: string) => void;
}

/** A length as people write it: metres, or feet and inches. */
export const Metres = ({ label, value, range: [least, most], set }: MetresProps) => (
  <Typed
    label={label}
    value={value === undefined ? '' : writeMetres(value)}
    onType={reading({ read: readMetres(least, most), write: writeMetres, onRead: set })}
    help={`Metres from ${least} to ${most}, such as 2,4; or feet and inches such as 8 ft 6 in.`}
    propose={(text) => {
      const metres = metresOfCentimetres(text, least, most);
      return metres === undefined ? undefined : writeMetres(metres);
    }}
  />
);
