export function House() { return <h1>House</h1>; }
