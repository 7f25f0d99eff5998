// The worked queries with which the query editor opens: one for each user. A test runs them on the demo.

/** What a tab of the query editor holds. */
export interface Tab {
  query: string
  headers: string
  variables?: string
}

/** The header with a key; the file is named by the start. */
const headers = (user: string) =>
  JSON.stringify({ authorization: `Bearer (the ${user} key from var/demo-keys.json)` }, null, 2)

const integrator = `# Integrator: keep accounts in step with your own system, by your own references.
# Key: integrator, in the headers below.

query Accounts {
  distributor { name revision }
  accounts(first: 5, filter: { retired: false }) {
    totalCount
    pageInfo { hasNextPage endCursor }
    edges { node { id externalRef name receivesWeekdays routes { name weekdays site { name } } } }
  }
}

mutation NewAccount {
  createAccount(input: {
    externalRef: "CRM-1001"
    name: "The Example Arms"
    routes: [{ externalRef: "R1" }]
    receivesWeekdays: [2, 4]
    returnDays: 21
  }) {
    __typename
    ... on AccountPayload { revision account { id name } }
    ... on InvalidInput { issues { path code message action } }
    ... on Conflict { code message action }
  }
}
`

/** Tabs of the query editor, one for each user. */
export const GRAPHIQL_TABS: readonly Tab[] = [{ query: integrator, headers: headers('integrator') }]
