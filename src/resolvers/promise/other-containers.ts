// The same beer on the wanted day, in other containers that make up the volume: firkins for a kilderkin and a pin.
import {
  alike,
  type Candidate,
  type PackInfo,
  type PromiseQuestion,
  type QuestionLine,
  replaced,
} from './promise-question.ts'

/** Share of the volume by which the containers may hold more or less. */
const TOLERANCE = 0.02
/** Mixes that are offered, and mixes that are placed to see whether they can be. */
const MOST_MIXES = 2
const MOST_TRIED = 12

/** Containers that make up the volume of a group of lines. */
interface ContainerMix {
  parts: { info: PackInfo; quantity: number }[]
  /** How many of its containers are dispensed otherwise, as a share. */
  strange: number
}

/** Late lines of one beer and day are replaced together. */
export function otherContainers(question: PromiseQuestion): Candidate[] {
  const [first, ...others] = groups(question)
  if (!first) return []
  // The first group in several mixes; what is late of other beers besides in the first mix that works.
  let lines = [...question.lines]
  let distance = 0
  const instead = [...first]
  for (const group of others) {
    const rest = lines.filter((line) => !question.late.includes(line) || group.includes(line))
    const [mix] = placeable(question, rest, group, 1)
    if (!mix) return []
    lines = replaced(lines, group, linesOf(mix, group))
    distance += mix.strange
    instead.push(...group)
  }
  return placeable(question, lines, first, MOST_MIXES).map((mix) => ({
    kind: 'OTHER_CONTAINERS',
    lines: replaced(lines, first, linesOf(mix, first)),
    instead,
    distance: distance + mix.strange + 0.1 * mix.parts.length,
  }))
}

/** Late lines by beer and wanted day. */
function groups({ late, packs }: PromiseQuestion): QuestionLine[][] {
  const found = new Map<string, QuestionLine[]>()
  for (const line of late) {
    const beer = packs.get(line.packId)?.beer.id
    const key = JSON.stringify([beer, line.serveOn, line.latestServeOn])
    found.set(key, [...(found.get(key) ?? []), line])
  }
  return [...found.values()]
}

/** The first mixes of containers that make up a group's volume and with which all `lines` are on time. */
function placeable(
  question: PromiseQuestion,
  lines: readonly QuestionLine[],
  group: readonly QuestionLine[],
  most: number,
): ContainerMix[] {
  const found: ContainerMix[] = []
  for (const mix of mixesOf(question, group).slice(0, MOST_TRIED)) {
    if (!question.onTime(replaced(lines, group, linesOf(mix, group)))) continue
    found.push(mix)
    if (found.length === most) break
  }
  return found
}

/** One or two packs of the beer that make up the volume, as far as each alone can be had; those dispensed alike first. */
function mixesOf({ packs, maxAvailable }: PromiseQuestion, group: readonly QuestionLine[]): ContainerMix[] {
  const [line] = group
  const asked = group.flatMap(({ packId, quantity }) => {
    const info = packs.get(packId)
    return info ? [{ info, quantity }] : []
  })
  if (!line || asked.length < group.length) return []
  const wanted = litres(asked)
  const same = [...packs.values()].filter(({ beer }) => beer.id === asked[0]?.info.beer.id)
  const had = new Map(
    same.map((info) => {
      const quantity = Math.ceil(wanted / Math.max(info.container.nominalLitres, 0.001))
      return [info, maxAvailable({ ...line, packId: info.pack.id, quantity: Math.min(quantity, 1_000_000) })]
    }),
  )
  const strangeness = (parts: ContainerMix['parts']) =>
    litres(parts.filter(({ info }) => !asked.some((each) => alike(each.info, info)))) / wanted
  const mixes: ContainerMix[] = []
  const add = (...parts: ContainerMix['parts']) => {
    const some = parts.filter(({ quantity }) => quantity > 0)
    if (Math.abs(litres(some) - wanted) <= TOLERANCE * wanted && !isAsked(some, asked))
      mixes.push({ parts: some, strange: strangeness(some) })
  }
  for (const info of same) {
    const size = info.container.nominalLitres
    if (size <= 0) continue
    const most = had.get(info) ?? 0
    if (most >= Math.round(wanted / size)) add({ info, quantity: Math.round(wanted / size) })
    for (const other of same) {
      if (other === info || other.container.nominalLitres <= 0 || other.container.nominalLitres > size) continue
      // As many of the larger ones as can be, and up to three fewer where the smaller ones then fit the rest.
      const top = Math.min(most, Math.floor((wanted * (1 + TOLERANCE)) / size))
      for (let quantity = top; quantity > Math.max(0, top - 4); quantity--) {
        const rest = Math.round((wanted - quantity * size) / other.container.nominalLitres)
        if (rest > 0 && rest <= (had.get(other) ?? 0)) add({ info, quantity }, { info: other, quantity: rest })
      }
    }
  }
  return mixes.sort((a, b) => a.strange - b.strange || a.parts.length - b.parts.length || count(a) - count(b))
}

function isAsked(parts: ContainerMix['parts'], asked: ContainerMix['parts']): boolean {
  const text = (some: ContainerMix['parts']) =>
    JSON.stringify(some.map(({ info, quantity }) => [info.pack.id, quantity]).sort())
  return text(parts) === text(asked)
}

function litres(parts: ContainerMix['parts']): number {
  return parts.reduce((sum, { info, quantity }) => sum + quantity * info.container.nominalLitres, 0)
}

function count({ parts }: ContainerMix): number {
  return parts.reduce((sum, { quantity }) => sum + quantity, 0)
}

function linesOf({ parts }: ContainerMix, group: readonly QuestionLine[]): QuestionLine[] {
  const [line] = group
  const of = group.flatMap((each) => each.of)
  return line ? parts.map(({ info, quantity }) => ({ ...line, packId: info.pack.id, quantity, of })) : []
}
