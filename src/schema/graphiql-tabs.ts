// The worked queries with which the query editor opens: one for each user. A test runs them on the demo.

import type { LocalDate } from '../planner/documents/index.ts'
import { addDays } from '../planner/documents/index.ts'

/** What a tab of the query editor holds. */
export interface Tab {
  query: string
  headers: string
  /** Values of the query's variables, as JSON. */
  variables: string
}

/** Days from today to the day that the sales example asks for. */
const DAYS_AHEAD = 10

/** The tabs of the query editor, one for each user, with days that suit `today`. */
export function graphiqlTabs(today: LocalDate): Tab[] {
  const serveOn = addDays(today, DAYS_AHEAD)
  return [
    { query: SALES, headers: headers('sales'), variables: json({ serveOn }) },
    { query: PLANNER, headers: headers('planner'), variables: json({ from: today, to: addDays(today, 6) }) },
    { query: INTEGRATOR, headers: headers('integrator'), variables: '{}' },
  ]
}

/** The header with a key, to be filled in; the file is named by the start. */
function headers(user: string): string {
  return json({ authorization: `Bearer (the ${user} key from var/demo-keys.json)` })
}

function json(value: object): string {
  return JSON.stringify(value, null, 2)
}

const SALES = `# Sales: when can this account have these? Then order them.
# Put the sales key into the headers below, then let the editor fetch the schema (the arrows at the lower left).
# The day stands in the variables; leave it out for "as early as can be".

query When($serveOn: LocalDate) {
  promise(input: {
    account: { externalRef: "C-101" }
    serveOn: $serveOn
    lines: [
      { pack: { externalRef: "MAR-KEG50" }, quantity: 1 }
      { pack: { externalRef: "FOO-FIRKIN" }, quantity: 2 }
    ]
  }) {
    summary
    allOnTime
    earliestServeOn
    lines {
      pack { name }
      serveOn
      onTime
      sources { kind quantity fillOn vessel { name } stockLot { code } }
      limits { rule message relief { what amount unit by } }
    }
    revision
  }
}

mutation Order($serveOn: LocalDate!) {
  placeOrder(input: {
    account: { externalRef: "C-101" }
    serveOn: $serveOn
    accept: LATER
    lines: [{ pack: { externalRef: "FOO-FIRKIN" }, quantity: 2 }]
  }) {
    __typename
    ... on OrderPayload { revision order { id number lines { pack { name } quantity promisedOn } } }
    ... on NotPossible { message action reasons { rule message } }
    ... on InvalidInput { issues { path code message action } }
  }
}
`

const PLANNER = `# Production planner: what is done when, what is late or not served and why; then draft another plan beside it.
# Put the planner key into the headers below, then let the editor fetch the schema (the arrows at the lower left).
# The days stand in the variables.

query ThisWeek($from: LocalDate, $to: LocalDate) {
  planInForce {
    id
    costTotal
    cost { term amount }
    brews(from: $from, to: $to) { edges { node { brewOn beer { name } litres vessel { name } } } }
    transfers(from: $from, to: $to) { edges { node { on litres toVessel { name } } } }
    fillRuns(from: $from, to: $to, first: 100) { edges { node { on quantity pack { name } filler { name } } } }
    late { edges { node { orderLine { order { account { name } } pack { name } serveOn } reasons { rule message } } } }
    unserved { edges { node { orderLine { order { account { name } } pack { name } serveOn } reasons { rule message } } } }
  }
}

mutation Draft {
  draftPlan(input: { effort: { seconds: 5 } }) {
    __typename
    ... on PlanPayload { plan { id status } }
    ... on InvalidInput { issues { path code message action } }
  }
}

query Drafts {
  plans(first: 5) { edges { node { id status costTotal progress { steps bestCost seconds } } } }
}
`

const INTEGRATOR = `# Integrator: keep accounts in step with your own system, by your own references.
# Put the integrator key into the headers below, then let the editor fetch the schema (the arrows at the lower left).

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
    externalRef: "PUB-1001"
    name: "The Borrowed Thermos"
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
