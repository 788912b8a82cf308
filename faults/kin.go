package faults

// kinText is words that stand for one another, the one that is kept ahead of the
// colon: plain and trade language, English and Spanish.
const kinText = `tank: cistern storage tanque deposito tinaco
drain: waste reject concentrate sewer gutter desague drenaje rechazo descarte
resin: di bottle deionizer deioniser polisher cylinder botella cilindro resina beads bead
filter: cartridge sediment prefilter filtro cartucho canister
membrane: element ro osmosis membrana elementos
meter: pen tds tester medidor lapiz probe
reading: number ppm display lectura readings conductivity
gun: wand lance sprayer jet pistola lanza chorro spray
nozzle: tip orifice boquilla
slow: slower slowly longer ages forever crawl lento tarda demora
fill: refill llenar llena fills filling
make: makes making made produce producing production output recover
old: overdue aged ancient viejo vieja due expired
changed: change replaced swapped exchanged cambio cambiaron cambiar swap exchange replace switched switch cambiamos
soap: foam suds shampoo detergent jabon espuma champu soapy foamy
bay: lane stall bahia carril
first: beginning start initial primeros principio inicio starts
valve: handle lever knob llave valvula
open: opened opens abierta abierto abrieron
closed: shut close shuts cerrada cerraron cerrado closes
spots: spot spotting spotty spotted dots manchas mancha specks marks
haze: hazy foggy cloudy milky velo neblina bloom film
salt: sal brine salted
slime: slimy snot snotty gunk jelly baba goo slick slippery
rust: rusty orange oxido
iron: hierro ferric
smell: smells odor odour stinks stink huele stench smelling
chlorine: cloro bleach pool piscina chlorinated lejia
notice: letter flyer postcard announcement mailer aviso carta leaflet
city: utility town municipality municipal ayuntamiento company municipalidad district
well: pozo wells
cold: freezing icy ice chilly frio helada frozen winter invierno snow frost
leak: leaking weeps weep drips dripping drip puddle seeping fuga gotea leaks seeps
pressure: presion psi
weak: low poor bad soft dribble feeble debil poca baja barely hardly
floor: piso ground
overflow: overflows overflowing spill spilling spills flood flooded floods desborda rebosa brim
float: flotador
night: overnight noche
car: cars vehicle truck paint coches autos carros carro coche
glass: window windows windshield vidrio vidrios
new: brand fresh nuevo nueva recently
pump: bomba pumps
line: hose tube tubing pipe piping manguera tuberia
kink: kinked pinched pinch crushed squashed flattened doblada
acid: vinegar citric descaler acido
scale: scaled limescale lime chalky chalk calcium sarro incrustacion cal crust crusty costra
hard: hardness dura
silica: silice glassy
mud: muddy silt clay sand gritty grit sandy lodo arena tierra turbid turbia barro
dirty: filthy sucio sucia
softener: ablandador suavizador descalcificador
carbon: charcoal
cycling: cycles cycle
short: quick quickly fast rush hurry rapido prisa
rinse: rinsing enjuague rinses enjuagan rinsed
two: both dos second everyone
busy: saturday saturdays weekend
bypass: bypassed desvio bypassing around
seal: oring seals gasket junta sello
vessel: housing housings vessels carcasa
plugged: clogged blocked clog plug clogging tapado obstruido
hot: sun heat sunny sol calor
black: dark negro negros oscuro oscuros
wax: waxed ceramic coating coated encerados`

// idleText is words that tell nothing by themselves.
const idleText = `a about al all hace also am an and any are as at be been but by can con could de del did do does done dont el en es
esta even for from fue get gets got ha had has have hay he her here his how i if im in into is it its ive just
la las le les like lo los lot lots mas may me might muy my no not now o of on onto or our para pero por que
really se she should si since so some son stuff su sus than that the their them then there they theyre thing
this to too un una us very was we were weve what when which who will with would y ya you your youre`

// undenyText is words that a no goes with and denies nothing else: "no idea why".
const undenyText = `idea sure matter doubt wonder clue longer seguro`

// denyText is words after which the next ones are meant the other way round.
const denyText = `no not never without nobody dont doesnt didnt isnt arent wasnt wont cant hasnt havent nothing sin ni nunca none`
