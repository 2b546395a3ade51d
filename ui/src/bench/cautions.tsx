/** Beside whatever makes light flash. */
export const FlashCaution = () => (
  <p class="bench-caution">
    <strong>Flashing light can bring on seizures</strong> in guests who are photosensitive. Announce it, keep it short, and leave it
    out where anybody has asked you to. The node holds back more than a few flashes a second.
  </p>
);

/** Beside whatever puts haze into the air. */
export const HazeCaution = () => (
  <p class="bench-caution">
    <strong>Haze can set off smoke detectors.</strong> Ask the venue before the day; the first press of the night asks whether it is
    permitted.
  </p>
);
