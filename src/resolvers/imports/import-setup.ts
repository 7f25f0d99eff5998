// Many things of set-up in one call: some are written in one transaction, with one repair of the plan in force, and others get their turn
// between the transactions.
import { Refusal } from '../../errors.ts'
import { nextTurn } from '../../thread-turns.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { enterAccount } from '../setup/account.ts'
import { enterBeer } from '../setup/beer.ts'
import { enterFleet } from '../setup/fleet.ts'
import type { NounUseCases } from '../setup/noun.ts'
import { enterStockLot } from '../setup/stock-lot.ts'
import { type SetupWork, writeSetupTogether } from '../setup/write-setup.ts'
import { type Entered, type Imported, importAll, listedIn } from './imported.ts'

/** Things of one transaction: it holds the lock for some tenths of a second. */
const TOGETHER = 20

/** Imports things of a kind from an input that lists them under `list`. Throws `InvalidInput` where there are none, or too many. */
function importOf(kind: string, list: string, enter: NounUseCases['enter']) {
  return async (actor: PlanningActor, input: unknown): Promise<Imported> => {
    // A request that is sent again finds what it has written, and leaves it as it is.
    const by = { ...actor, once: undefined }
    return importAll(actor, kind, listedIn(input, list), (things) => enterAll(by, things, enter))
  }
}

async function enterAll(
  actor: PlanningActor,
  things: readonly unknown[],
  enter: NounUseCases['enter'],
): Promise<(Entered | Refusal)[]> {
  const became: (Entered | Refusal)[] = []
  for (let from = 0; from < things.length; from += TOGETHER) {
    await nextTurn()
    const works = things.slice(from, from + TOGETHER).map((thing) => workOf(actor, thing, enter))
    became.push(...(await writeSetupTogether(actor, works).catch((error: unknown) => refusedAll(works, error))))
  }
  return became
}

/** What cannot be read at all is refused when its turn comes. */
function workOf(actor: PlanningActor, thing: unknown, enter: NounUseCases['enter']): SetupWork {
  return async (tx, revision) => enter(actor, thing)(tx, revision)
}

function refusedAll(works: readonly SetupWork[], error: unknown): Refusal[] {
  if (!(error instanceof Refusal)) throw error
  return works.map(() => error)
}

export const importAccounts = importOf('Account', 'accounts', enterAccount)
export const importBeers = importOf('Beer', 'beers', enterBeer)
export const importStockLots = importOf('StockLot', 'stockLots', enterStockLot)
export const importFleets = importOf('Fleet', 'fleets', enterFleet)
