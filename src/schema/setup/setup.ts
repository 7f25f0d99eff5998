// What all set-up nouns have in common: filters, look-ups, payloads and the registration of their mutations.
import type { InputRef, ObjectRef } from '@pothos/core'
import { z } from 'zod'
import { NotFound } from '../../errors.ts'
import { changedSince, changedSinceWords, updatedSince } from '../../resolvers/changes/updated.ts'
import { parseInput } from '../../resolvers/parse-input.ts'
import { readInput } from '../../resolvers/read-input.ts'
import type { NounUseCases } from '../../resolvers/setup/noun.ts'
import { givenRef, name } from '../../resolvers/setup/shapes.ts'
import { findThing, References, type ThingKind, thingRef, wordsOf } from '../../resolvers/thing-ref.ts'
import type { Written } from '../../resolvers/written.ts'
import { builder } from '../builder.ts'
import type { Context } from '../context.ts'
import { WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { fieldOfKind, oneOfKind } from './kind-words.ts'

/** Most references of a filter. */
const MOST_REFS = 200

const RETIRED = 'True: only what was retired; false: only what is in use. Absent: both.'
const REFS = `Only things with one of these references of yours; at most ${MOST_REFS}. Absent: all.`

export const SetupFilter = builder.inputType('SetupFilter', {
  description: 'Which set-up things to list. What is not given does not filter.',
  fields: (t) => ({
    retired: t.boolean({ description: RETIRED }),
    externalRefs: t.stringList({ description: REFS }),
    changedSince: t.field({ type: 'DateTime', description: changedSinceWords('things') }),
    name: t.string({
      description:
        'Only things whose name has each of these words or parts of words somewhere, in capitals or small letters; 1 to 200 characters. Absent: all.',
    }),
  }),
})

export const SiteSetupFilter = builder.inputType('SiteSetupFilter', {
  description: 'Which set-up things of a site to list. What is not given does not filter.',
  fields: (t) => ({
    retired: t.boolean({ description: RETIRED }),
    externalRefs: t.stringList({ description: REFS }),
    changedSince: t.field({ type: 'DateTime', description: changedSinceWords('things') }),
    site: t.field({ type: ThingRefInput, description: 'Only those of this site. Absent: of all sites.' }),
  }),
})

export const StandingFilter = builder.inputType('StandingFilter', {
  description: 'Which batches or stock lots to list. What is not given does not filter.',
  fields: (t) => ({
    standing: t.boolean({
      description: 'True: only what stands there now; false: only what is emptied or used up. Absent: both.',
    }),
    site: t.field({ type: ThingRefInput, description: 'Only those at this site. Absent: at all sites.' }),
    externalRefs: t.stringList({ description: REFS }),
    changedSince: t.field({ type: 'DateTime', description: changedSinceWords('things') }),
    code: t.string({
      description:
        'Only those whose code has this part, in capitals or small letters; 1 to 200 characters. Absent: all.',
    }),
  }),
})

const filterShape = z.strictObject({
  filter: z
    .strictObject({
      retired: z.boolean().optional(),
      externalRefs: z.array(givenRef).max(MOST_REFS).optional(),
      site: thingRef.optional(),
      standing: z.boolean().optional(),
      name: name.optional(),
      code: name.optional(),
      changedSince,
    })
    .default({}),
})

/** The condition of a list of set-up things. Throws `InvalidInput`. */
export function setupWhere({ distributorId }: Context, args: { filter?: unknown }) {
  const { filter } = parseInput(filterShape, { filter: args.filter })
  const words = filter.name?.split(/\s+/) ?? []
  return { ...whereOf(distributorId, filter), AND: words.map((word) => ({ name: containing(word) })) }
}

function whereOf(
  distributorId: string,
  { retired, externalRefs, changedSince }: z.output<typeof filterShape>['filter'],
) {
  return {
    distributorId,
    ...(retired === undefined ? {} : { retiredAt: retired ? { not: null } : null }),
    ...(externalRefs === undefined ? {} : { externalRef: { in: externalRefs } }),
    ...updatedSince(changedSince),
  }
}

/** A condition of a name that has a word somewhere, in capitals or small letters. */
function containing(word: string) {
  return { contains: literally(word), mode: 'insensitive' as const }
}

/** The text as a pattern of LIKE that stands for just that text. */
function literally(text: string): string {
  return text.replace(/[\\%_]/g, '\\$&')
}

/** The same for things that belong to a site. */
export async function siteSetupWhere(context: Context, args: { filter?: unknown }) {
  return (await standingWhere(context, args)).where
}

/** The same for batches and stock lots; whether they are to stand there now is said in words of their own. */
export async function standingWhere({ client, distributorId }: Context, args: { filter?: unknown }) {
  const reading = readInput(filterShape, { filter: args.filter })
  const { filter } = reading.given
  const refs = new References(client, distributorId)
  refs.take(reading)
  const site = filter.site && (await refs.subject('Site', filter.site, 'filter.site'))
  refs.settle()
  return {
    standing: filter.standing,
    where: {
      ...whereOf(distributorId, filter),
      ...(site ? { siteId: site.id } : {}),
      ...(filter.code === undefined ? {} : { code: containing(filter.code) }),
    },
  }
}

/** The row's id of the thing that an argument names. Throws `InvalidInput`, `NotFound`. */
export async function idOf({ client, distributorId }: Context, kind: ThingKind, by: unknown): Promise<string> {
  const ref = parseInput(thingRef, by)
  const found = await findThing(client, distributorId, kind, ref)
  if (!found) throw new NotFound(kind, wordsOf(ref))
  return found.id
}

/** Where a row of the caller's distributor is found. */
export function rowKey({ distributorId }: Context, id: string) {
  return { distributorId_id: { distributorId, id } }
}

/** The payload's field that every write has. */
export const revisionField = (t: PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, Written>) =>
  t.exposeInt('revision', { description: "The distributor's revision since the write." })

interface SetupMutations {
  kind: ThingKind
  payload: ObjectRef<typeof builder.$inferSchemaTypes, Written>
  createInput: InputRef<unknown>
  changeInput: InputRef<unknown>
  useCases: Pick<NounUseCases, 'create' | 'change'> & Partial<NounUseCases>
  /** Of what the ledger follows: what facts say, once one names the thing. Absent: the ledger does not follow it. */
  saidByFacts?: string
  /** What retiring means. Absent: the kind is never retired. */
  retiring?: string
}

/** Registers `createX`, `changeX` and, where there is such a use-case, `retireX`. */
export function setupMutations({
  kind,
  payload,
  createInput,
  changeInput,
  useCases,
  saidByFacts,
  retiring,
}: SetupMutations) {
  const one = oneOfKind(kind)
  const opening = saidByFacts
    ? ` What it enters is the opening: once a fact names the thing, ${saidByFacts} follow from facts alone (SAID_BY_FACTS).`
    : ''
  const register = (field: string, description: string, input: InputRef<unknown>, useCase: NounUseCases['create']) =>
    builder.mutationField(field, (t) =>
      t.field({
        ...needs('setup:write', description),
        type: payload,
        errors: WRITE_ERRORS,
        args: { input: t.arg({ type: input, required: true, description: 'What to write.' }) },
        resolve: (_root, { input }, { actor }) => useCase(actor, input),
      }),
    )
  register(`create${kind}`, `Creates ${one}.${opening}`, createInput, useCases.create)
  register(
    `change${kind}`,
    `Changes ${one}: what the input names takes its new value, null takes an optional value away, the rest stays.${opening}`,
    changeInput,
    useCases.change,
  )
  if (!useCases.retire || !retiring) return
  const retireInput = builder.inputType(`Retire${kind}Input`, {
    description: `Which thing to retire.`,
    fields: (t) => ({
      [fieldOfKind(kind)]: t.field({ type: ThingRefInput, required: true, description: 'The thing to retire.' }),
    }),
  })
  register(`retire${kind}`, `Retires ${one}. ${retiring}`, retireInput, useCases.retire)
}
