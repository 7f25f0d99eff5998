// The refusal of a plan that must not come into force: what others have changed since it was begun, and what is in the way.
import type { TransactionClient } from '../../database/client.ts'
import { Conflict, type Obstacle, type RecordChange } from '../../errors.ts'
import type { LocalDate, Problem } from '../../planner/documents/index.ts'
import type { Actor } from '../actor.ts'
import { eventWords } from './event-words.ts'
import { NamesOf } from './names.ts'
import { type FoundObstacle, obstacleInWords } from './obstacle-words.ts'

/** Most changes and obstacles in a refusal's message; the rest are only in its data. */
const MOST_TOLD = 10
const MOST_OBSTACLES = 100

/** When a plan was begun, and who wants it in force. */
interface Begun extends Pick<Actor, 'distributorId' | 'mayRead'> {
  fromRevision: number
  begun: LocalDate
}

interface InTheWay {
  problem: Problem
  changes: RecordChange[]
  obstacles: readonly FoundObstacle[]
  today: LocalDate
}

/** The refusal that says what is in the way, and of it only what the caller may read: only broken promises can be accepted. */
export async function adoptionRefusal(
  tx: TransactionClient,
  { distributorId, mayRead = () => true, fromRevision, begun }: Begun,
  { problem, changes: all, obstacles: found, today }: InTheWay,
): Promise<Conflict> {
  const names = new NamesOf(tx, distributorId)
  const changes = all.filter(({ entity }) => mayRead(entity?.type ?? ''))
  const lines = mayRead('OrderLine') ? 'SHOWN' : 'HIDDEN'
  const obstacles: Obstacle[] = []
  for (const each of found.slice(0, MOST_OBSTACLES))
    obstacles.push(await obstacleInWords(problem, each, ({ kind, id }) => names.find(kind, id), lines))
  const messages = obstacles.map(({ message }) => message)
  const said = listed(messages, ' ', found.length)
  if (found.every(({ kind }) => kind === 'PROMISE_BROKEN'))
    return new Conflict(
      'PROMISES_BROKEN',
      `The plan in force keeps ${found.length === 1 ? 'a promise' : `${found.length} promises`} that the draft breaks. ${said}`,
      changes,
      obstacles,
    )
  const message = [
    begun === today ? '' : `The draft was begun on ${begun}.`,
    `Since revision ${fromRevision}: ${listed([...eventWords(changes), ...hidden(all.length - changes.length)], ', ') || 'no change'}.`,
    said,
  ]
  return new Conflict('REVISION_MOVED', message.filter((part) => part !== '').join(' '), changes, obstacles)
}

/** That something was changed is known by the revision; what it was is not said. */
function hidden(count: number): string[] {
  return count === 0 ? [] : ['what the key may not read was changed']
}

function listed(list: readonly string[], separator: string, count = list.length): string {
  const more = count > MOST_TOLD ? [`and ${count - MOST_TOLD} more`] : []
  return [...list.slice(0, MOST_TOLD), ...more].join(separator)
}
