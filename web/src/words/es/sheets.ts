import type { sheets as en } from '../en/sheets';

export const sheets: typeof en = {
  title: 'Hojas para imprimir',
  lead: 'Para un recorrido sin teléfono, para una clase o para colgar: hojas que se explican solas. Lo que se apunta en ellas se puede pasar después al Recorrido.',
  kind: 'Hoja',
  kinds: { plants: 'Planta a planta', counts: 'Recuentos', map: 'Plano de un invernadero', signs: 'Los signos' },
  house: 'Invernadero',
  blank: 'En blanco, para cualquiera',
  paper: 'Papel',
  papers: { a4: 'A4', letter: 'Carta (US Letter)' },
  across: 'Bloques uno al lado de otro',
  print: 'Imprimir',
  preview: 'La hoja',
  noPlan: 'Este invernadero no tiene plan esta semana: en la hoja están todos los lotes que hay en él.',
  nothing: 'No hay nada en este invernadero. La hoja está en blanco.',

  plantsTitle: 'Conteo planta a planta',
  countsTitle: 'Conteo por recuentos',
  mapTitle: (house) => (house === '' ? 'Plano de un invernadero' : `Plano de ${house}`),
  signsTitle: 'Qué buscar bajo las hojas',
  of: (site, house) => [site, house].filter(Boolean).join(' · '),

  line: { date: 'Fecha', scout: 'Quién', from: 'De', to: 'a', lens: 'Lupa', organism: 'Plaga', house: 'Invernadero', week: 'Semana' },
  head: { block: 'Bloque', lot: 'Lote', plan: 'Plan', plants: 'Plantas', lookedAt: 'Revisadas', withIt: 'Con ella', newGrowth: 'Brotes nuevos', oldGrowth: 'Hojas viejas', note: 'Nota' },
  asked: (n) => `revisar ${n}`,
  standing: (n) => `hay ${n}`,
  continued: 'continúa',

  how: 'Cómo se rellena',
  howPlants: [
    'Levante la planta y mire el envés de hojas de arriba, del medio y de abajo. Una casilla es una planta; las cifras pequeñas dicen cuál, contando a lo largo del bloque desde el pasillo.',
    'Trace / si revisó la planta y no vio nada, X si la tiene. Una casilla vacía es una planta que no se revisó.',
  ],
  howCounts: [
    'Levante la planta y mire el envés de hojas de arriba, del medio y de abajo. Cuente plantas, no insectos: escriba cuántas revisó y cuántas de ellas la tenían.',
    'Bajo cada signo escriba en cuántas plantas se vio.',
  ],
  howMap: [
    'Escriba en cada bloque: con ella / revisadas. Una bandera señala un foco: dibújela donde están las plantas.',
    'Un bloque vacío no se revisó. No es lo mismo que 0 encontradas.',
  ],
  howSigns: 'Letras para lo que se vio en una planta que la tiene; un círculo alrededor de la letra: parasitada.',
  letters: { egg: 'H', small_nymph: 'N', large_nymph: 'G', pupa: 'P', empty_case: 'V', adult: 'A' },
  share: 'Proporción = con ella ÷ revisadas. Sume los recuentos; nunca promedie porcentajes. Escriba los dos: 0 de 20 es menos seguro que 0 de 80, y ninguno significa que esté libre de la plaga.',
  caution: 'Una plaga que no conoce, o una regulada: pare, retenga las plantas, no las mueva, venda ni tire, y llame a su autoridad de sanidad vegetal.',

  signs: {
    egg: { name: 'Huevo', text: 'De pie sobre un pedúnculo corto, a menudo en arco; unos 0,2 mm, pálido, oscuro antes de abrirse. Solo con lupa, en las hojas más jóvenes.' },
    small_nymph: { name: 'Ninfa chica', text: 'Plana y transparente, hasta unos 0,4 mm. La primera camina un poco y luego se fija.' },
    large_nymph: { name: 'Ninfa grande', text: 'Una escama plana y pálida, de unos 0,5 a 0,7 mm, que no se mueve. En hojas del medio.' },
    pupa: { name: 'Pupa', text: 'Más gruesa, de unos 0,8 mm, con dos ojos rojos. Alta como un pastel y con hilos largos: mosca blanca de los invernaderos. Amarilla, lisa y en punta: mosca blanca del tabaco. En hojas viejas.' },
    empty_case: { name: 'Pupa vacía', text: 'Blanca y abierta en forma de T: de ella salió una mosca blanca. Dice lo que hubo, no lo que hay: no cuenta como infestada.' },
    adult: { name: 'Adulto', text: 'Alas blancas, alrededor de 1 mm, en las hojas más jóvenes; sacuda la planta. Alas planas: de los invernaderos. En tejado, y más amarilla: del tabaco.' },
    parasitised: { name: 'Parasitada', text: 'La escama se vuelve negra, parda o color canela, por igual. Escriba el color que ve; dentro crece una avispa.' },
    left_by_wasp: { name: 'Salió una avispa', text: 'Un agujero redondo en vez de una T: de ella salió una avispa.' },
  },
  plantTitle: 'En qué parte de la planta',
  plantNew: 'Brotes nuevos: adultos y huevos. Mosca blanca aquí significa que avanza.',
  plantOld: 'Hojas viejas: ninfas, pupas, pupas vacías. Mire el envés, de abajo arriba.',
  sizesNote: 'Los tamaños son cifras redondas, de uso común. Las hojas densas u oscuras ocultan más: mire más tiempo.',
};
