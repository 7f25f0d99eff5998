// What no plan avoids of a plan's cost, in a few lines for people: the parts of the cost, and the dearest beers and order lines.
import type { CostInParts, Unavoidable, UnavoidableBeer, UnavoidableLine } from '../planner/index.ts'

/** Beers and order lines that are named. */
const NAMED = 5

/** What things are called, by their ids. */
export interface UnavoidableNames {
  beer(id: string): string
  orderLine(id: string): string
}

/** One line for the parts of the cost, then one for each of the dearest beers and order lines, indented. */
export function unavoidableInWords(
  { lines, beers }: Unavoidable,
  { ofBeers, together, open }: CostInParts,
  names: UnavoidableNames,
): string[] {
  const more =
    together >= 0.01 ? `, and ${money(together)} because beers share vessels, fillers, containers and routes` : ''
  const rest = open >= 0.01 ? ` Whether another plan saves any of the other ${money(open)} is not known.` : ''
  return [
    `No plan avoids ${money(ofBeers)} for its beers${more}.${rest}`,
    ...beers.slice(0, NAMED).map((beer) => `  ${names.beer(beer.beerId)}: ${beerInWords(beer)}`),
    ...lines.slice(0, NAMED).map((line) => `  ${names.orderLine(line.orderLineId)}: ${lineInWords(line)}`),
  ]
}

function beerInWords({ cost, lines, left }: UnavoidableBeer): string {
  const parts = [
    ...(lines >= 0.01 ? [`${money(lines)} for lines that must be late or are not served`] : []),
    ...(left >= 0.01 ? [`${money(left)} for beer that no line asks for`] : []),
  ]
  return `${money(cost)} at least${parts.length > 0 ? `, of it ${parts.join(' and ')}` : ''}`
}

function lineInWords({ cost, daysLate }: UnavoidableLine): string {
  const why = daysLate === null ? 'it is not served' : `${daysLate === 1 ? 'a day' : `${daysLate} days`} late at least`
  return `${money(cost)} in every plan, ${why}`
}

const money = (value: number): string => value.toFixed(2)
