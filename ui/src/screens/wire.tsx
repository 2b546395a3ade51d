export function Wire() { return <h1>Wire</h1>; }
