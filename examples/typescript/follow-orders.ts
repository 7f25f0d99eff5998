// The README's first calls as a typed program: where the feed begins, when beer can be had, an order placed and amended, and both seen in the feed.
import { ask, graphql, type Service } from './client.ts'

const BEGIN = graphql('query { snapshot(first: 1) { changesAfter } }')

const WHEN = graphql(`
  query ($account: ThingRef!, $lines: [PromiseLineInput!]!) {
    promise(input: { account: $account, lines: $lines }) { summary earliestServeOn offerToken }
  }
`)

const PLACE = graphql(`
  mutation ($offerToken: String!, $externalRef: String!) {
    placeOrder(input: { offerToken: $offerToken, externalRef: $externalRef }) {
      __typename
      ... on OrderPayload { revision order { number lines { quantity promisedOn pack { name } } } }
      ... on NotPossible { code message }
      ... on Conflict { code message }
      ... on InvalidInput { issues { path code message action } }
    }
  }
`)

const AMEND = graphql(`
  mutation ($externalRef: String!, $lines: [OrderLineInput!]!) {
    amendOrder(input: { order: { externalRef: $externalRef }, addLines: $lines, accept: LATER }) {
      __typename
      ... on OrderPayload { revision outcome { promisedOn } }
      ... on NotPossible { code message }
      ... on InvalidInput { issues { path code message action } }
    }
  }
`)

const CHANGES = graphql(`
  query ($after: String!) {
    changes(after: $after, first: 500, kinds: [ORDER_PLACED, ORDER_AMENDED]) {
      edges { node { kind externalRef entity { __typename ... on Order { number status lines { quantity promisedOn } } } } }
      position
      pageInfo { hasNextPage }
    }
  }
`)

/** Places an order of one of a pack for an account, adds another one, and answers what the feed said of it, oldest first. */
export async function orderAndFollow(service: Service, account: string, pack: string, externalRef: string) {
  const begin = (await ask(service, BEGIN, {})).snapshot?.changesAfter
  if (begin === undefined) throw new Error('There is no snapshot.')
  const lines = [{ pack: { externalRef: pack }, quantity: 1 }]
  const promised = (await ask(service, WHEN, { account: { externalRef: account }, lines })).promise
  if (!promised?.offerToken) throw new Error(promised?.summary ?? 'There is no answer.')
  const { placeOrder } = await ask(
    service,
    PLACE,
    { offerToken: promised.offerToken, externalRef },
    `place ${externalRef}`,
  )
  if (placeOrder?.__typename !== 'OrderPayload') throw new Error(`Not placed: ${JSON.stringify(placeOrder)}`)
  const serveOn = promised.earliestServeOn
  const added = lines.map((line) => ({ ...line, serveOn }))
  const { amendOrder } = await ask(service, AMEND, { externalRef, lines: added }, `amend ${externalRef}`)
  if (amendOrder?.__typename !== 'OrderPayload') throw new Error(`Not amended: ${JSON.stringify(amendOrder)}`)
  return (await changesAfter(service, begin)).changes.filter((change) => change.externalRef === externalRef)
}

/** All changes of orders after a place of the feed, and the place to go on from: keep it with what you have taken over. */
export async function changesAfter(service: Service, begin: string) {
  let position = begin
  const changes = []
  for (;;) {
    const page = (await ask(service, CHANGES, { after: position })).changes
    if (!page) throw new Error('There is no feed.')
    changes.push(...page.edges.map(({ node }) => node))
    position = page.position
    if (!page.pageInfo.hasNextPage) return { changes, position }
  }
}
