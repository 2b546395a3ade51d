/** The edge that runs around a button while the node has not answered. */
export function MovingEdge() {
  return (
    <svg class="moving-edge" aria-hidden="true">
      <rect x="1" y="1" rx="11" pathLength="96" />
    </svg>
  );
}
