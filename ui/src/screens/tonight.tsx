export function Tonight() { return <h1>Tonight</h1>; }
