/** The engine that ships, as answers about patches use it. */
import { specs } from '../../src/blocks/specs.gen.ts';
import { renderTake } from '../../src/engine/hosts/take.ts';
import { createHearing, type Hearing } from '../../src/insight/heard.ts';
import { createCatalogue } from '../../src/patch/blockSpec.ts';
import { engineModule } from './engine.ts';

export const fullCatalogue = createCatalogue(specs);

export const hearing: Hearing = createHearing((patch, options) => renderTake(engineModule(), specs, patch, options), fullCatalogue);
