/** A stick as the table keeps it: its state, with what its lists need. */
import { isDeepStrictEqual } from 'node:util'
import type { KeptStick, Listing } from '../../shared-domain/listing.ts'
import { packed, unpacked } from '../../shared-domain/state/logged-uses.ts'
import { initial, type StickState } from '../../shared-domain/state/state.ts'
import { is, isNew, onlyIf } from './change.ts'
import type { Keys } from './keys.ts'
import { readerOf } from './reading.ts'
import type { Item } from './table.ts'

export interface StoredStick extends KeptStick {
  /** the rules under which it was written, by their id */
  readonly writtenUnder: string | null
  /** the shape of its state: a state of an earlier build is folded anew from its facts with the next fact */
  readonly shape: number
  /** rises with every write of this item */
  readonly version: number
}

/** An earlier build may have left out what is not named here. */
type EverKept = Partial<StoredStick> & Pick<StoredStick, 'stickId' | 'state' | 'told' | 'depotId' | 'version'>

const asStick = readerOf<EverKept>('stick', {
  stickId: 'text',
  state: 'map',
  told: ['map', 'null'],
  loanTold: ['map', 'absent'],
  labelTold: ['map', 'absent'],
  depotId: ['text', 'null'],
  seen: ['text', 'absent'],
  untold: ['text', 'absent'],
  shownDueOn: ['text', 'null', 'absent'],
  broughtForwardFrom: ['text', 'null', 'absent'],
  writtenUnder: ['text', 'null', 'absent'],
  shape: ['number', 'absent'],
  recorded: ['number', 'absent'],
  version: 'number',
  held: ['map', 'absent'],
})

export function stickItem(keys: Keys, stick: StoredStick, listing: Listing): Item {
  const { group, place, held, onceConfirmed, returnBy, nextTellOn, changesByItself } = listing
  const { stickId, state, depotId } = stick
  const tellKey = changesByItself ? keys.depotChange(depotId) : keys.depotTell(depotId)
  const lot = state.registrations.at(-1)?.stick.lot
  return {
    ...keys.state(stickId),
    entity: 'stick',
    ...stick,
    state: asKept(state),
    broughtForwardFrom: stick.broughtForwardFrom ?? undefined,
    // the count is kept only of a stick of which a fact was taken back
    recorded: stick.recorded === state.facts ? undefined : stick.recorded,
    // a hold that is over is kept while nobody was told so: whoever tells it asks whether they knew of the hold
    held: held ?? (stick.untold === undefined ? undefined : stick.held),
    depotStandingKey: keys.depotStanding(depotId, group),
    standingSort: place,
    // the place once confirmed lies beside a held stick, so that whoever takes the confirmation reads nothing of the
    // stick
    ...(onceConfirmed === undefined
      ? {}
      : {
          toConfirm: onceConfirmed.about,
          heldOnceConfirmed: onceConfirmed.held,
          sortOnceConfirmed: onceConfirmed.place,
        }),
    ...(returnBy === null ? {} : { depotLentKey: keys.depotLent(depotId), returnSort: `${returnBy}#${stickId}` }),
    ...(nextTellOn === null ? {} : { depotTellKey: tellKey, nextTellOn: `${nextTellOn}#${stickId}` }),
    ...(state.crewId === null ? {} : { crewKey: keys.crewSticks(state.crewId) }),
    ...(lot === undefined ? {} : { lotKey: keys.lot(lot) }),
  }
}

/**
 * A stick without what the table keeps beside it for its lists, which is worked out anew at every write. Whatever an
 * earlier build did not keep reads as nothing known, and what is not known is never to a stick's favour.
 */
export function asStored(item: unknown): StoredStick {
  const { stickId, state, told, depotId, version, loanTold, labelTold, held, seen, untold, ...rest } = asStick(item)
  return {
    stickId,
    state: { ...initial, ...state, stickId, uses: usesOf(state.uses) },
    told,
    depotId,
    shownDueOn: rest.shownDueOn ?? null,
    broughtForwardFrom: rest.broughtForwardFrom ?? null,
    writtenUnder: rest.writtenUnder ?? null,
    shape: rest.shape ?? 1,
    recorded: rest.recorded ?? state.facts,
    version,
    ...(loanTold === undefined ? {} : { loanTold }),
    ...(labelTold === undefined ? {} : { labelTold }),
    ...(held === undefined ? {} : { held }),
    ...(seen === undefined ? {} : { seen }),
    ...(untold === undefined ? {} : { untold }),
  }
}

/**
 * The state as it is stored: without the number that lies beside it and what is as it was in the beginning, and with
 * its uses as one text. A stick that is used every day is written every day.
 */
function asKept(state: StickState): Record<string, unknown> {
  const { stickId: _, ...kept } = state
  const begun = Object.entries(kept).filter(
    ([name, value]) => !isDeepStrictEqual(value, initial[name as keyof StickState]),
  )
  return Object.fromEntries(begun.map(([name, value]) => [name, name === 'uses' ? packed(state.uses) : value]))
}

/** Earlier builds kept uses as a list. */
function usesOf(kept: unknown): StoredStick['state']['uses'] {
  return typeof kept === 'string' ? unpacked(kept) : ((kept as StoredStick['state']['uses'] | undefined) ?? [])
}

export function unchangedSince(before: StoredStick | undefined) {
  return onlyIf(before === undefined ? isNew : is('version', before.version))
}
