export function Pairing() { return <h1>Pairing</h1>; }
