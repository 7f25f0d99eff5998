// The worked queries with which the query editor opens: one for each user. A test runs them on the demo.

/** Tabs of the query editor. Put a key from `var/demo-keys.json` into the headers. */
export const GRAPHIQL_TABS: { query: string; headers: string }[] = []
