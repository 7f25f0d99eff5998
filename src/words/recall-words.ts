// A recall as a brewer says it on the phone, to an account and to the office.

/** Containers of a lot that an account is to give back. */
export interface LotInWords {
  /** What the pack is called, such as `Mild, firkin`. */
  pack: string
  code: string
  onRoad: number
  atAccount: number
}

/** What to say to an account. */
export function callWords(lots: readonly LotInWords[], again: boolean): string {
  const said = (key: 'onRoad' | 'atAccount') =>
    lots
      .filter((lot) => lot[key] > 0)
      .map((lot) => `${lot[key]} of ${lot.pack}, lot ${lot.code}`)
      .join('; ')
  const [there, coming] = [said('atAccount'), said('onRoad')]
  return [
    ...(there === '' ? [] : [`Please serve no more of this, and keep it until we fetch it: ${there}.`]),
    ...(coming === '' ? [] : [`This is on its way to you, please do not take it in: ${coming}.`]),
    again ? 'We send you as many again, and ring you with the day.' : 'We do not send it again.',
  ].join(' ')
}

/** What a recall did, as counts of whole containers. */
export interface RecallInWords {
  accounts: number
  /** Called back by it; called back before and out still. */
  called: number
  calledBefore: number
  /** Stand at the site; have left their accounts. */
  here: number
  gone: number
  lots: number
  noDraft?: 'NOTHING_NEW' | 'NO_PLAN' | 'TOO_MANY_UNFINISHED' | undefined
}

const NO_DRAFT = {
  NOTHING_NEW: 'Nothing is new: no draft is begun.',
  NO_PLAN: 'No plan is in force: there is none to replace.',
  TOO_MANY_UNFINISHED: 'Too many drafts are being made: begin one with draftPlan when one of them is ready.',
}

/** What a recall did, in sentences. */
export function recallWords(recall: RecallInWords): string[] {
  const { accounts, called, calledBefore, here, gone, lots, noDraft } = recall
  const nothing =
    lots === 0
      ? 'Nothing was filled of it.'
      : 'Nothing of it is on the road or at an account that was not called back before.'
  return [
    called > 0
      ? `${counted(called, 'container is', 'containers are')} called back from ${counted(accounts, 'account', 'accounts')}: ring each of them.`
      : nothing,
    ...(calledBefore > 0
      ? [`${counted(calledBefore, 'was', 'were')} called back before, and ${is(calledBefore)} out still.`]
      : []),
    ...(here > 0 ? [`${counted(here, 'stands', 'stand')} at the site and ${is(here)} kept back.`] : []),
    ...(gone > 0 ? [`${counted(gone, 'has', 'have')} left the accounts: served, brought back, or lost there.`] : []),
    noDraft ? NO_DRAFT[noDraft] : 'A draft that replaces what was promised is being made: compare it and adopt it.',
  ]
}

function counted(count: number, one: string, many: string): string {
  return `${count} ${count === 1 ? one : many}`
}

function is(count: number): string {
  return count === 1 ? 'is' : 'are'
}
