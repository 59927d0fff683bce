PRAGMA application_id = 1313623879;
PRAGMA user_version = 3;
BEGIN TRANSACTION;
CREATE TABLE "_sqlite_migrations" (
   "id" INTEGER PRIMARY KEY,
   "migration_set" TEXT,
   "name" TEXT,
   "applied_at" TEXT
) STRICT;
INSERT INTO "_sqlite_migrations" VALUES(1,'nightload','first','2026-11-25 22:18:27.258934+00:00');
INSERT INTO "_sqlite_migrations" VALUES(2,'nightload','matters','2026-11-25 22:18:27.259606+00:00');
INSERT INTO "_sqlite_migrations" VALUES(3,'nightload','digests','2026-11-25 22:19:10.483650+00:00');
CREATE TABLE about (name TEXT NOT NULL, "column" TEXT NOT NULL, says TEXT NOT NULL) STRICT;
INSERT INTO "about" VALUES('','','A logbook of a cabin. Read the views; write only by the program, which keeps digests.');
INSERT INTO "about" VALUES('readings','','every entry that holds now, by the time it is about');
INSERT INTO "about" VALUES('readings','at_utc','the time it is about, UTC');
INSERT INTO "about" VALUES('readings','place','which thermometer; empty for the main one');
INSERT INTO "about" VALUES('readings','indoor_c','temperature there, °C');
INSERT INTO "about" VALUES('readings','outdoor_c','temperature outside, °C');
INSERT INTO "about" VALUES('readings','lowest_c','lowest since the thermometer was reset, °C');
INSERT INTO "about" VALUES('readings','highest_c','highest since the thermometer was reset, °C');
INSERT INTO "about" VALUES('readings','reset_at_utc','when the thermometer was reset, UTC');
INSERT INTO "about" VALUES('readings','humidity_pct','relative humidity, per cent');
INSERT INTO "about" VALUES('readings','forecast_low_c','lowest forecast for the night, °C');
INSERT INTO "about" VALUES('readings','wind','calm, breeze or strong, as felt at the door');
INSERT INTO "about" VALUES('readings','load_kg','wood laid in, kg as weighed');
INSERT INTO "about" VALUES('readings','air_open_pct','air lever, per cent open');
INSERT INTO "about" VALUES('readings','flue_damper_open_pct','flue damper, per cent open');
INSERT INTO "about" VALUES('readings','window','shut, cracked or open');
INSERT INTO "about" VALUES('readings','coals','none, few or good');
INSERT INTO "about" VALUES('readings','fire_out','1 where the fire was out');
INSERT INTO "about" VALUES('readings','other_heat_w','heat from anything but the stove, W');
INSERT INTO "about" VALUES('readings','mark','arrived, bed, woke or left');
INSERT INTO "about" VALUES('readings','alarms_tested','1 where the alarms were tested');
INSERT INTO "about" VALUES('readings','change','what was changed about the cabin');
INSERT INTO "about" VALUES('readings','note','what could not be read as anything else');
INSERT INTO "about" VALUES('readings','matter_json','what it says besides the night, as JSON');
INSERT INTO "about" VALUES('readings','flags','over_limit, odd_value, logger');
INSERT INTO "about" VALUES('readings','as_typed','the whole line as it was typed');
INSERT INTO "about" VALUES('readings','id','the identifier of the event, as in the view events');
INSERT INTO "about" VALUES('wood_loads','','wood laid into the stove');
INSERT INTO "about" VALUES('wood_loads','at_utc','the time it is about, UTC');
INSERT INTO "about" VALUES('wood_loads','load_kg','wood laid in, kg as weighed');
INSERT INTO "about" VALUES('wood_loads','pieces','the pieces as counted');
INSERT INTO "about" VALUES('wood_loads','species','species of wood');
INSERT INTO "about" VALUES('wood_loads','moisture_pct','water in it, per cent on the basis beside');
INSERT INTO "about" VALUES('wood_loads','moisture_basis','wet or dry: what the moisture is a share of');
INSERT INTO "about" VALUES('wood_loads','kindling','1 where small stuff was lit for a cold start');
INSERT INTO "about" VALUES('wood_loads','air_open_pct','air lever, per cent open');
INSERT INTO "about" VALUES('wood_loads','id','the identifier of the event, as in the view events');
INSERT INTO "about" VALUES('upkeep','','upkeep done and looked at');
INSERT INTO "about" VALUES('upkeep','at_utc','the time it is about, UTC');
INSERT INTO "about" VALUES('upkeep','task','what was done or looked at');
INSERT INTO "about" VALUES('upkeep','finding','what was found');
INSERT INTO "about" VALUES('upkeep','deposit_mm','soot found before it was swept, mm');
INSERT INTO "about" VALUES('upkeep','until_day','a date printed on the thing itself');
INSERT INTO "about" VALUES('upkeep','by','who did it');
INSERT INTO "about" VALUES('upkeep','only_looked','1 where it was left as it was');
INSERT INTO "about" VALUES('upkeep','id','the identifier of the event, as in the view events');
INSERT INTO "about" VALUES('descriptions','','versions of the description that hold');
INSERT INTO "about" VALUES('descriptions','valid_from_utc','since when it holds, UTC; empty: always');
INSERT INTO "about" VALUES('descriptions','written_at_utc','when it was written, UTC');
INSERT INTO "about" VALUES('descriptions','toml','the description of cabin, stove and wood');
INSERT INTO "about" VALUES('descriptions','own_file','the owner''s own file with its remarks');
INSERT INTO "about" VALUES('descriptions','id','the identifier of the event, as in the view events');
INSERT INTO "about" VALUES('events','','all that was ever written; nothing is changed or deleted, later events supersede');
INSERT INTO "about" VALUES('events','id','identifier');
INSERT INTO "about" VALUES('events','device','which machine wrote it');
INSERT INTO "about" VALUES('events','counter','order of writing: by counter, device, id');
INSERT INTO "about" VALUES('events','act','record, edit, remove, undo, redo, describe or setting');
INSERT INTO "about" VALUES('events','written_at_utc','when it was written, UTC');
INSERT INTO "about" VALUES('events','how','typed, imported, paper or logger');
INSERT INTO "about" VALUES('events','as_typed','the whole line as it was typed');
INSERT INTO "about" VALUES('events','instead_of','the event an edit or a removal takes the place of');
INSERT INTO "about" VALUES('events','first_of_them','the first event of that chain of edits');
INSERT INTO "about" VALUES('events','batch','events of one act share it: a line, an import');
INSERT INTO "about" VALUES('events','takes_back','the batch an undo takes back, a redo brings back');
INSERT INTO "about" VALUES('events','at_utc','the time its entry is about, UTC');
INSERT INTO "about" VALUES('info','','what this file keeps for itself: its device, half-typed lines');
INSERT INTO "about" VALUES('event','','the table behind events; digest is BLAKE2b of all the event says, against damage');
INSERT INTO "about" VALUES('entry','','the table behind readings, with entries that no longer hold too');
INSERT INTO "about" VALUES('typed','','values as they were typed, with the unit they were in');
INSERT INTO "about" VALUES('description','','the table behind descriptions');
INSERT INTO "about" VALUES('setting','','what was learned about the household, such as which way the lever reads; the last one holds');
INSERT INTO "about" VALUES('about','','these sentences');
INSERT INTO "about" VALUES('undone','','batches that are taken back');
CREATE TABLE batch (id INTEGER PRIMARY KEY, uuid TEXT NOT NULL UNIQUE) STRICT;
INSERT INTO "batch" VALUES(1,'44dcda6a-0000-4000-8000-000000000000');
INSERT INTO "batch" VALUES(2,'aa99e079-0000-4000-8000-000000000002');
INSERT INTO "batch" VALUES(3,'ff22a27b-0000-4000-8000-000000000004');
INSERT INTO "batch" VALUES(4,'462804db-0000-4000-8000-000000000006');
INSERT INTO "batch" VALUES(5,'b0caae1c-0000-4000-8000-000000000008');
INSERT INTO "batch" VALUES(6,'d19e3224-0000-4000-8000-000000000010');
INSERT INTO "batch" VALUES(7,'d1d4d2b3-0000-4000-8000-000000000012');
INSERT INTO "batch" VALUES(8,'2bd4afc1-0000-4000-8000-000000000014');
INSERT INTO "batch" VALUES(9,'085ffef8-0000-4000-8000-000000000016');
INSERT INTO "batch" VALUES(10,'74a43821-0000-4000-8000-000000000037');
INSERT INTO "batch" VALUES(11,'ec9ba198-0000-4000-8000-000000000039');
INSERT INTO "batch" VALUES(12,'bf9f842d-0000-4000-8000-000000000041');
INSERT INTO "batch" VALUES(13,'80ebe557-0000-4000-8000-000000000043');
INSERT INTO "batch" VALUES(14,'7a3621f5-0000-4000-8000-000000000045');
INSERT INTO "batch" VALUES(15,'29828207-0000-4000-8000-000000000047');
INSERT INTO "batch" VALUES(16,'00f1f68e-0000-4000-8000-000000000049');
INSERT INTO "batch" VALUES(17,'236cc43d-0000-4000-8000-000000000051');
INSERT INTO "batch" VALUES(18,'88f16c36-0000-4000-8000-000000000053');
INSERT INTO "batch" VALUES(19,'551ca0f0-0000-4000-8000-000000000074');
INSERT INTO "batch" VALUES(20,'7ce1f4b3-0000-4000-8000-000000000076');
INSERT INTO "batch" VALUES(21,'01fa3a28-0000-4000-8000-000000000078');
CREATE TABLE description (
        event INTEGER PRIMARY KEY REFERENCES event (id),
        valid_from TEXT CHECK (valid_from GLOB '????-??-??T??:??:??.??????Z'),
        toml TEXT NOT NULL
    ) STRICT
    ;
INSERT INTO "description" VALUES(1,NULL,'[cabin]
floor_m2 = 28.0
volume_m3 = 70.0
leakiness = "average"
water = "none"

[[cabin.surface]]
kind = "wall"
area_m2 = 50.0
layers = [{material = "softwood", thickness_mm = 24.0, conductivity_w_per_mk = 0.13, density_kg_per_m3 = 500.0, specific_heat_j_per_kgk = 1600.0}, {material = "sheep wool", thickness_mm = 80.0, conductivity_w_per_mk = 0.042, density_kg_per_m3 = 20.0, specific_heat_j_per_kgk = 1300.0}, {material = "softwood", thickness_mm = 20.0, conductivity_w_per_mk = 0.13, density_kg_per_m3 = 500.0, specific_heat_j_per_kgk = 1600.0}]

[[cabin.surface]]
kind = "roof"
area_m2 = 32.0
layers = [{material = "softwood", thickness_mm = 22.0, conductivity_w_per_mk = 0.13, density_kg_per_m3 = 500.0, specific_heat_j_per_kgk = 1600.0}, {material = "sheep wool", thickness_mm = 120.0, conductivity_w_per_mk = 0.042, density_kg_per_m3 = 20.0, specific_heat_j_per_kgk = 1300.0}, {material = "gypsum board", thickness_mm = 12.5, conductivity_w_per_mk = 0.21, density_kg_per_m3 = 700.0, specific_heat_j_per_kgk = 1000.0}]

[[cabin.surface]]
kind = "floor"
area_m2 = 28.0
layers = [{material = "softwood", thickness_mm = 18.0, conductivity_w_per_mk = 0.13, density_kg_per_m3 = 500.0, specific_heat_j_per_kgk = 1600.0}, {material = "sheep wool", thickness_mm = 40.0, conductivity_w_per_mk = 0.042, density_kg_per_m3 = 20.0, specific_heat_j_per_kgk = 1300.0}, {material = "softwood", thickness_mm = 28.0, conductivity_w_per_mk = 0.13, density_kg_per_m3 = 500.0, specific_heat_j_per_kgk = 1600.0}]
over = "crawl"

[[cabin.surface]]
kind = "window"
area_m2 = 2.2
glazing = "single"
faces = "S"

[[cabin.surface]]
kind = "window"
area_m2 = 1.0
glazing = "single"
faces = "W"

[[cabin.surface]]
kind = "door"
area_m2 = 1.9
u_w_per_m2k = 2.5

[stove]
max_load_kg = 8.0
body_kg = 130.0
air_lever_reads = "open"
clean_floor_open_pct = 25.0
clean_floor_assumed = false
open_minutes = 13.0

[site]
name = "Hut at Quillmere"
latitude_deg = 47.0
longitude_deg = 15.0
elevation_m = 820.0
timezone = "Etc/GMT-1"
timezone_assumed = false

[wood]
species = "beech and birch"
moisture_pct = 17.0
moisture_basis = "wet"
moisture_assumed = false
pieces_kg = {"S" = 0.6, "M" = 1.2, "L" = 2.2}

[comfort]
band_c = [16.0, 22.0]
bed = "22:30"
wake = "06:45"
people = 2
gets_up = false

[alarms]
smoke_expires = 2033-09-30
co_expires = 2031-04-30

[units]
temperature = "C"
mass = "kg"
');
INSERT INTO "description" VALUES(2,'2024-11-04T17:00:00.000000Z','[cabin]
floor_m2 = 28.0
volume_m3 = 70.0
leakiness = "average"
water = "none"

[[cabin.surface]]
kind = "wall"
area_m2 = 50.0
layers = [{material = "softwood", thickness_mm = 24.0, conductivity_w_per_mk = 0.13, density_kg_per_m3 = 500.0, specific_heat_j_per_kgk = 1600.0}, {material = "sheep wool", thickness_mm = 80.0, conductivity_w_per_mk = 0.042, density_kg_per_m3 = 20.0, specific_heat_j_per_kgk = 1300.0}, {material = "softwood", thickness_mm = 20.0, conductivity_w_per_mk = 0.13, density_kg_per_m3 = 500.0, specific_heat_j_per_kgk = 1600.0}]

[[cabin.surface]]
kind = "roof"
area_m2 = 32.0
layers = [{material = "softwood", thickness_mm = 22.0, conductivity_w_per_mk = 0.13, density_kg_per_m3 = 500.0, specific_heat_j_per_kgk = 1600.0}, {material = "sheep wool", thickness_mm = 120.0, conductivity_w_per_mk = 0.042, density_kg_per_m3 = 20.0, specific_heat_j_per_kgk = 1300.0}, {material = "gypsum board", thickness_mm = 12.5, conductivity_w_per_mk = 0.21, density_kg_per_m3 = 700.0, specific_heat_j_per_kgk = 1000.0}]

[[cabin.surface]]
kind = "floor"
area_m2 = 28.0
layers = [{material = "softwood", thickness_mm = 18.0, conductivity_w_per_mk = 0.13, density_kg_per_m3 = 500.0, specific_heat_j_per_kgk = 1600.0}, {material = "sheep wool", thickness_mm = 40.0, conductivity_w_per_mk = 0.042, density_kg_per_m3 = 20.0, specific_heat_j_per_kgk = 1300.0}, {material = "softwood", thickness_mm = 28.0, conductivity_w_per_mk = 0.13, density_kg_per_m3 = 500.0, specific_heat_j_per_kgk = 1600.0}]
over = "crawl"

[[cabin.surface]]
kind = "window"
area_m2 = 2.2
glazing = "single"
faces = "S"

[[cabin.surface]]
kind = "window"
area_m2 = 1.0
glazing = "single"
faces = "W"

[[cabin.surface]]
kind = "door"
area_m2 = 1.9
u_w_per_m2k = 2.5

[stove]
max_load_kg = 8.0
body_kg = 130.0
air_lever_reads = "open"
clean_floor_open_pct = 25.0
clean_floor_assumed = false
open_minutes = 13.0

[site]
name = "Hut at Quillmere"
latitude_deg = 47.0
longitude_deg = 15.0
elevation_m = 820.0
timezone = "Etc/GMT-1"
timezone_assumed = false

[wood]
species = "beech and birch"
moisture_pct = 17.0
moisture_basis = "wet"
moisture_assumed = false
pieces_kg = {"S" = 0.6, "M" = 1.2, "L" = 2.2}

[comfort]
band_c = [16.0, 22.0]
bed = "22:30"
wake = "06:45"
people = 2
gets_up = false

[alarms]
smoke_expires = 2033-09-30
co_expires = 2031-04-30

[units]
temperature = "C"
mass = "kg"
');
CREATE TABLE device (id INTEGER PRIMARY KEY, uuid TEXT NOT NULL UNIQUE) STRICT;
INSERT INTO "device" VALUES(1,'the-old-laptop');
INSERT INTO "device" VALUES(2,'a-phone');
CREATE TABLE entry (
        event INTEGER PRIMARY KEY REFERENCES event (id),
        at TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.??????Z'),
        indoor_c REAL,
        place TEXT NOT NULL,
        outdoor_c REAL,
        low_c REAL,
        high_c REAL,
        reset_at TEXT CHECK (reset_at GLOB '????-??-??T??:??:??.??????Z'),
        load_kg REAL,
        pieces TEXT,
        species TEXT,
        moisture_pct REAL,
        moisture_basis TEXT CHECK (moisture_basis IN ('wet', 'dry')),
        kindling INTEGER NOT NULL CHECK (kindling IN (0, 1)),
        air_open_pct REAL,
        flue_damper_open_pct REAL,
        "window" TEXT CHECK ("window" IN ('shut', 'cracked', 'open')),
        coals TEXT CHECK (coals IN ('none', 'few', 'good')),
        other_heat_w REAL,
        rh_pct REAL,
        wind TEXT CHECK (wind IN ('calm', 'breeze', 'strong')),
        forecast_low_c REAL,
        mark TEXT CHECK (mark IN ('arrived', 'bed', 'woke', 'left')),
        fire_out INTEGER NOT NULL CHECK (fire_out IN (0, 1)),
        alarms_tested INTEGER NOT NULL CHECK (alarms_tested IN (0, 1)),
        change TEXT,
        note TEXT,
        flags TEXT NOT NULL
    , matter TEXT
        CHECK (matter IS NULL OR (json_valid(matter) AND json_extract(matter, '$.kind') IS NOT NULL))) STRICT
    ;
INSERT INTO "entry" VALUES(6,'2024-11-02T09:44:00.000000Z',17.2,'',NULL,NULL,NULL,NULL,2.92030135558623404889e+00,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,1,NULL,NULL,'',NULL);
INSERT INTO "entry" VALUES(7,'2024-11-02T14:40:00.000000Z',20.8,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'',NULL);
INSERT INTO "entry" VALUES(8,'2024-11-02T15:12:00.000000Z',23.8,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,17.0,NULL,1,NULL,NULL,NULL,NULL,NULL,NULL,'breeze',NULL,NULL,0,1,NULL,NULL,'',NULL);
INSERT INTO "entry" VALUES(9,'2024-11-02T19:57:00.000000Z',8.37680424275233193043e+00,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(10,'2024-11-02T20:02:00.000000Z',1.19194195374235683009e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(11,'2024-11-02T20:07:00.000000Z',9.5353648974443068198e+00,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(12,'2024-11-02T20:12:00.000000Z',7.69162782149749268967e+00,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(13,'2024-11-02T20:17:00.000000Z',6.09887635816326323379e-01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(14,'2024-11-02T20:22:00.000000Z',1.45265485469496020694e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(15,'2024-11-02T20:27:00.000000Z',1.93491776573458906796e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(16,'2024-11-02T20:32:00.000000Z',1.95260753910698667823e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(17,'2024-11-02T20:37:00.000000Z',13.2719208689874,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(18,'2024-11-02T20:42:00.000000Z',7.12690382318017068286e+00,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(19,'2024-11-02T20:47:00.000000Z',7.26257113607701842994e+00,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(20,'2024-11-02T20:52:00.000000Z',1.3802289275168504901e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(21,'2024-11-02T20:57:00.000000Z',1.34754564329836679092e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(22,'2024-11-02T21:02:00.000000Z',2.27664802258874310325e+00,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(23,'2024-11-02T21:07:00.000000Z',4.69944854605684358972e+00,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(24,'2024-11-02T21:12:00.000000Z',7.2664475994208483911e+00,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(25,'2024-11-02T21:17:00.000000Z',1.02270100374862167309e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(26,'2024-11-02T21:22:00.000000Z',1.62021414585533705121e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(27,'2024-11-02T21:27:00.000000Z',1.00002424686265669608e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(28,'2024-11-02T21:32:00.000000Z',5.62865343826304265206e-01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(29,'2024-11-02T23:38:00.000000Z',15.8,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,17.0,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'',NULL);
INSERT INTO "entry" VALUES(30,'2024-11-03T02:03:00.000000Z',NULL,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'','{"kind": "upkeep", "task": "sweep"}');
INSERT INTO "entry" VALUES(32,'2024-11-03T12:34:00.000000Z',23.1,'',NULL,-1.25,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,'few',NULL,NULL,NULL,NULL,NULL,0,1,NULL,'Ofenrohr heiß, wind in the flue. ','',NULL);
INSERT INTO "entry" VALUES(33,'2024-11-03T17:14:00.000000Z',22.3,'',NULL,NULL,NULL,NULL,NULL,NULL,'beech',NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'',NULL);
INSERT INTO "entry" VALUES(34,'2024-11-03T21:32:00.000000Z',NULL,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'','{"kind": "improvement", "name": "skirting", "money": 120.5, "hours": 6.0}');
INSERT INTO "entry" VALUES(35,'2024-11-04T03:51:00.000000Z',3.1,'loft',NULL,NULL,NULL,NULL,5.24189897875075061506e+00,NULL,NULL,NULL,'wet',0,25.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'bed',0,0,NULL,NULL,'',NULL);
INSERT INTO "entry" VALUES(37,'2024-11-04T13:17:00.000000Z',1.95895509509426481997e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(38,'2024-11-04T13:22:00.000000Z',1.11986356333202401462e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(39,'2024-11-04T13:27:00.000000Z',1.24947733758092827116e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(40,'2024-11-04T13:32:00.000000Z',1.83986821675916196738e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(41,'2024-11-04T13:37:00.000000Z',1.92397539701931492572e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(42,'2024-11-04T13:42:00.000000Z',1.52086858509785844968e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(43,'2024-11-04T13:47:00.000000Z',8.35311612951390358716e+00,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(44,'2024-11-04T13:52:00.000000Z',1.17687088389504204146e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(45,'2024-11-04T13:57:00.000000Z',1.80192314691439712248e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(46,'2024-11-04T14:02:00.000000Z',1.57846562860893779856e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(47,'2024-11-04T14:07:00.000000Z',1.16032712991429463043e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(48,'2024-11-04T14:12:00.000000Z',6.94956212938015838176e+00,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(49,'2024-11-04T14:17:00.000000Z',7.36940214605084520371e+00,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(50,'2024-11-04T14:22:00.000000Z',1.47167063333152796649e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(51,'2024-11-04T14:27:00.000000Z',1.12665447832530496441e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(52,'2024-11-04T14:32:00.000000Z',3.42240287185757718901e-01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(53,'2024-11-04T14:37:00.000000Z',1.42026263707018092215e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(54,'2024-11-04T14:42:00.000000Z',1.80761265800737120912e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(55,'2024-11-04T14:47:00.000000Z',1.59546256121889875601e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(56,'2024-11-04T14:52:00.000000Z',1.79495318342732375067e+01,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'logger',NULL);
INSERT INTO "entry" VALUES(57,'2024-11-04T16:50:00.000000Z',18.1,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,17.0,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,'new door seal',NULL,'',NULL);
INSERT INTO "entry" VALUES(58,'2024-11-04T22:41:00.000000Z',9.1,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,1,25.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,'Ofenrohr heiß, wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. wind in the flue. ','',NULL);
INSERT INTO "entry" VALUES(59,'2024-11-05T00:29:00.000000Z',3.3,'',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,0,NULL,NULL,'',NULL);
CREATE TABLE event (
        id INTEGER PRIMARY KEY,
        uuid TEXT NOT NULL UNIQUE,
        device INTEGER NOT NULL REFERENCES device (id),
        counter INTEGER NOT NULL CHECK (counter > 0),
        batch INTEGER NOT NULL REFERENCES batch (id),
        act TEXT NOT NULL
            CHECK (act IN ('record', 'edit', 'remove', 'undo', 'redo', 'describe', 'setting')),
        root TEXT REFERENCES event (uuid),
        supersedes TEXT REFERENCES event (uuid),
        target TEXT REFERENCES batch (uuid),
        at_typed TEXT NOT NULL,
        zone TEXT NOT NULL,
        written_at TEXT NOT NULL,
        how TEXT NOT NULL CHECK (how IN ('typed', 'imported', 'paper', 'logger')),
        line TEXT NOT NULL, digest BLOB CHECK (length(digest) = 16),
        CHECK ((act IN ('edit', 'remove')) = (root IS NOT NULL)),
        CHECK ((act IN ('edit', 'remove')) = (supersedes IS NOT NULL)),
        CHECK ((act IN ('undo', 'redo')) = (target IS NOT NULL))
    ) STRICT
    ;
INSERT INTO "event" VALUES(1,'a8501e2c-0000-4000-8000-000000000001',1,1,1,'describe',NULL,NULL,NULL,'','UTC','2024-11-01T21:03:00.000000Z','typed','# ours
',X'C3B0B0DF5D78E18CF9051C22BE664E7E');
INSERT INTO "event" VALUES(2,'598b88db-0000-4000-8000-000000000003',2,2,2,'describe',NULL,NULL,NULL,'','UTC','2024-11-02T01:34:00.000000Z','typed','# again
',X'9498CB485ADFC19860EBEC33551F0FD6');
INSERT INTO "event" VALUES(3,'5fefe911-0000-4000-8000-000000000005',1,3,3,'setting',NULL,NULL,NULL,'','UTC','2024-11-02T01:40:00.000000Z','typed','',X'009E9CA607542467D6D71BD32FB983A6');
INSERT INTO "event" VALUES(4,'a4b66f8c-0000-4000-8000-000000000007',1,4,4,'setting',NULL,NULL,NULL,'','UTC','2024-11-02T05:48:00.000000Z','typed','',X'5800B495D0A7B33BB6C8293753736831');
INSERT INTO "event" VALUES(5,'dd45af1c-0000-4000-8000-000000000009',1,5,5,'setting',NULL,NULL,NULL,'','UTC','2024-11-02T09:44:00.000000Z','typed','',X'D83B4431863AA847EEDE79843597A9CE');
INSERT INTO "event" VALUES(6,'331b2fb3-0000-4000-8000-000000000011',1,6,6,'record',NULL,NULL,NULL,'23:10','Europe/Vienna','2024-11-02T14:40:00.000000Z','typed','-11/18 4M 1/4',X'9A8A3471744045034347656764BEEF71');
INSERT INTO "event" VALUES(7,'ea3fa51c-0000-4000-8000-000000000013',1,7,7,'record',NULL,NULL,NULL,'23:10','Europe/Vienna','2024-11-02T15:12:00.000000Z','typed','-11/18 4M 1/4',X'6217790128120ABB4D97404A730313D7');
INSERT INTO "event" VALUES(8,'81dafbbb-0000-4000-8000-000000000015',1,8,8,'edit','331b2fb3-0000-4000-8000-000000000011','331b2fb3-0000-4000-8000-000000000011',NULL,'23:10','Europe/Vienna','2024-11-02T19:57:00.000000Z','typed','-11/18 4M 1/4',X'7861964F82E6A7E5B14E944570340E3A');
INSERT INTO "event" VALUES(9,'84dd01fa-0000-4000-8000-000000000017',1,9,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'DFD116F9AC09CCF6FF91A02EC902683E');
INSERT INTO "event" VALUES(10,'0696f561-0000-4000-8000-000000000018',1,10,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'04183265620FE7031FFBAA8B49CA17E5');
INSERT INTO "event" VALUES(11,'38dfffb7-0000-4000-8000-000000000019',1,11,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'147A11C044EAC1F830ED2ED635C96E9E');
INSERT INTO "event" VALUES(12,'acf7af15-0000-4000-8000-000000000020',1,12,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'4D0154CDF5C123D1FE1FE2185A555F95');
INSERT INTO "event" VALUES(13,'6d5fcd18-0000-4000-8000-000000000021',1,13,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'A415E7F5D163846635247D6CFA4DB9F9');
INSERT INTO "event" VALUES(14,'0b21bbba-0000-4000-8000-000000000022',1,14,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'43BDA6F6E64FB6C5CA9289C6EFB22AC6');
INSERT INTO "event" VALUES(15,'63641911-0000-4000-8000-000000000023',1,15,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'621F7368271C896550205C7231184E74');
INSERT INTO "event" VALUES(16,'3453e71c-0000-4000-8000-000000000024',1,16,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'2C4D4CF710BE3B6D4408AF8E67EC703A');
INSERT INTO "event" VALUES(17,'c59c74ab-0000-4000-8000-000000000025',1,17,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'8F78350C9D0561DDFB02F754E6B01409');
INSERT INTO "event" VALUES(18,'9b774054-0000-4000-8000-000000000026',1,18,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'7521A4BF213143AE3682000D79B85ECB');
INSERT INTO "event" VALUES(19,'1a44db6e-0000-4000-8000-000000000027',1,19,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'7569F0EE098D92205B099F317332F535');
INSERT INTO "event" VALUES(20,'c0d7fcc5-0000-4000-8000-000000000028',1,20,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'E48E9BE535007D56D09F4BA9198593E1');
INSERT INTO "event" VALUES(21,'8ccaec71-0000-4000-8000-000000000029',1,21,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'1A5893B0E88ADFEDD2134C3E671F9302');
INSERT INTO "event" VALUES(22,'387be8b8-0000-4000-8000-000000000030',1,22,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'66CA229239F53F2593BCB283A00CCB1E');
INSERT INTO "event" VALUES(23,'2d94a778-0000-4000-8000-000000000031',1,23,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'8F6066C9EDEFEF47D296BD8E6E1D2AA7');
INSERT INTO "event" VALUES(24,'13f68ff1-0000-4000-8000-000000000032',1,24,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'5E708BC8ADD96B2667D0993A07A65099');
INSERT INTO "event" VALUES(25,'b22635cb-0000-4000-8000-000000000033',1,25,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'B77E88866AF312CED75DBEF826A56AE0');
INSERT INTO "event" VALUES(26,'4616e73d-0000-4000-8000-000000000034',1,26,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'14898027EBFC34CEEFB9AF145B54EA06');
INSERT INTO "event" VALUES(27,'096ebec4-0000-4000-8000-000000000035',1,27,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'29247FCBB6FDC57F67A78809033E882A');
INSERT INTO "event" VALUES(28,'6ef8b434-0000-4000-8000-000000000036',1,28,9,'record',NULL,NULL,NULL,'','UTC','2024-11-02T23:38:00.000000Z','logger','',X'6136E6E3A0F09DF8FB521686E89607EC');
INSERT INTO "event" VALUES(29,'79ec55a3-0000-4000-8000-000000000038',2,29,10,'record',NULL,NULL,NULL,'23:10','Europe/Vienna','2024-11-03T02:03:00.000000Z','typed','-11/18 4M 1/4',X'297DCF855D520E2365B1883F2108BE9B');
INSERT INTO "event" VALUES(30,'8c81dda8-0000-4000-8000-000000000040',2,30,11,'record',NULL,NULL,NULL,'','UTC','2024-11-03T06:01:00.000000Z','typed','as typed',X'6587740ED61C4444FE8A40E03D923A67');
INSERT INTO "event" VALUES(31,'384a54c5-0000-4000-8000-000000000042',2,31,12,'undo',NULL,NULL,'ec9ba198-0000-4000-8000-000000000039','','UTC','2024-11-03T12:34:00.000000Z','typed','',X'CFDB8FE17BB5249D0801BD5E020EDF81');
INSERT INTO "event" VALUES(32,'27a16894-0000-4000-8000-000000000044',1,32,13,'record',NULL,NULL,NULL,'23:10','Europe/Vienna','2024-11-03T17:14:00.000000Z','typed','-11/18 4M 1/4',X'1E11AF930F9EC00F5909BE3499CF9082');
INSERT INTO "event" VALUES(33,'7d601939-0000-4000-8000-000000000046',1,33,14,'record',NULL,NULL,NULL,'23:10','Europe/Vienna','2024-11-03T21:32:00.000000Z','typed','-11/18 4M 1/4',X'0A792ECADC2312312A2BC676C5E7F891');
INSERT INTO "event" VALUES(34,'72e45d1d-0000-4000-8000-000000000048',2,34,15,'record',NULL,NULL,NULL,'','UTC','2024-11-04T03:51:00.000000Z','typed','as typed',X'266F4AEBC8DA5916932444F16A7ED9D1');
INSERT INTO "event" VALUES(35,'b1b0d8fe-0000-4000-8000-000000000050',2,35,16,'record',NULL,NULL,NULL,'23:10','Europe/Vienna','2024-11-04T09:41:00.000000Z','typed','-11/18 4M 1/4',X'FB77B52C2CF425F92BB3FFAEA6D727C0');
INSERT INTO "event" VALUES(36,'3dc1523c-0000-4000-8000-000000000052',1,36,17,'remove','7d601939-0000-4000-8000-000000000046','7d601939-0000-4000-8000-000000000046',NULL,'','UTC','2024-11-04T13:17:00.000000Z','typed','',X'C26DFFA05FEDEEAA2C30F72342D4BB10');
INSERT INTO "event" VALUES(37,'333e46c7-0000-4000-8000-000000000054',1,37,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'374759B6A21F425F3812F0BC9F9F6B61');
INSERT INTO "event" VALUES(38,'ca038457-0000-4000-8000-000000000055',1,38,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'9A4E3541929F3FFD6B8D5DF2A5E8EEED');
INSERT INTO "event" VALUES(39,'ed52e4ca-0000-4000-8000-000000000056',1,39,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'A7603F3AAAB8DF35C559FAC04E62911F');
INSERT INTO "event" VALUES(40,'61250888-0000-4000-8000-000000000057',1,40,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'AFB339DC57AC05972B3A511185D4D0A1');
INSERT INTO "event" VALUES(41,'cadb5bec-0000-4000-8000-000000000058',1,41,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'2DB0C3FBE044494B38B842CF420B7FA2');
INSERT INTO "event" VALUES(42,'1929c848-0000-4000-8000-000000000059',1,42,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'42C19BF8F8BD93600D111885C7005581');
INSERT INTO "event" VALUES(43,'b5d52797-0000-4000-8000-000000000060',1,43,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'B6D69737F14FB7E10CA89D29745E9071');
INSERT INTO "event" VALUES(44,'5a694bca-0000-4000-8000-000000000061',1,44,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'6DF8944E5A60F350FE8DA54C8625941D');
INSERT INTO "event" VALUES(45,'305e3f80-0000-4000-8000-000000000062',1,45,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'7E3E31318DA3412DCA44B429BC5ED395');
INSERT INTO "event" VALUES(46,'4fe6a6f6-0000-4000-8000-000000000063',1,46,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'F45B057BA6D4A304BA56C713AB42000E');
INSERT INTO "event" VALUES(47,'454c6648-0000-4000-8000-000000000064',1,47,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'290C86F8D368135C985CE67A10ED8C4E');
INSERT INTO "event" VALUES(48,'ef1c28a2-0000-4000-8000-000000000065',1,48,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'3668A1D63CD9690BBCACAD36B14D4C48');
INSERT INTO "event" VALUES(49,'cb0067a7-0000-4000-8000-000000000066',1,49,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'42D2D067EE3B5676DDBD499590ECB6BB');
INSERT INTO "event" VALUES(50,'b069adc0-0000-4000-8000-000000000067',1,50,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'B4E624E0A34135C54B597F8B77D84B63');
INSERT INTO "event" VALUES(51,'afc371e1-0000-4000-8000-000000000068',1,51,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'205134C4B3BFCECA4774C84C75805084');
INSERT INTO "event" VALUES(52,'8aa721d7-0000-4000-8000-000000000069',1,52,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'A5578E619EB3953DC4D126AD3AB7D902');
INSERT INTO "event" VALUES(53,'7de18f48-0000-4000-8000-000000000070',1,53,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'A107B64C268CDCDCE96283601F03BE2D');
INSERT INTO "event" VALUES(54,'9f427f7b-0000-4000-8000-000000000071',1,54,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'455124777158FC986B2FFF6D17FB30DB');
INSERT INTO "event" VALUES(55,'9c734d77-0000-4000-8000-000000000072',1,55,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'70AC60F8CCA81909D493E78F5E1561D2');
INSERT INTO "event" VALUES(56,'1fedadeb-0000-4000-8000-000000000073',1,56,18,'record',NULL,NULL,NULL,'','UTC','2024-11-04T16:50:00.000000Z','logger','',X'3F5AA36F78AFD3F0C1155CFCD0699DD1');
INSERT INTO "event" VALUES(57,'244d9206-0000-4000-8000-000000000075',1,57,19,'record',NULL,NULL,NULL,'23:10','Europe/Vienna','2024-11-04T22:41:00.000000Z','typed','-11/18 4M 1/4',X'6FADCF7EA9E11EA5BC21F6F9CB2EE54D');
INSERT INTO "event" VALUES(58,'9f7c62bb-0000-4000-8000-000000000077',1,58,20,'record',NULL,NULL,NULL,'23:10','Europe/Vienna','2024-11-05T00:29:00.000000Z','typed','-11/18 4M 1/4',X'093F7F5D33B5ADC7E6A9985BC8BDC09B');
INSERT INTO "event" VALUES(59,'f6c0c134-0000-4000-8000-000000000079',2,59,21,'record',NULL,NULL,NULL,'23:10','Europe/Vienna','2024-11-05T02:24:00.000000Z','typed','-11/18 4M 1/4',X'AA45F5DCD0C60FFAB513FDA968FC46EE');
CREATE TABLE info (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
INSERT INTO "info" VALUES('device','9289334c-91b5-40e1-afa1-451ce1ac8a4d');
INSERT INTO "info" VALUES('here:draft','in 12');
INSERT INTO "info" VALUES('here:look','in 16');
INSERT INTO "info" VALUES('kept:device','76c1de6e6e67820aed71f6343ab8c9b2 9289334c-91b5-40e1-afa1-451ce1ac8a4d');
INSERT INTO "info" VALUES('kept:draft','ebf5a8f7c31a90c7713a130cc2e9b7dd in 12');
INSERT INTO "info" VALUES('kept:look','0fae1f1e7e7601c4963e1c0285b87ce7 in 16');
CREATE TABLE setting (
        event INTEGER PRIMARY KEY REFERENCES event (id),
        name TEXT NOT NULL,
        value TEXT NOT NULL
    ) STRICT
    ;
INSERT INTO "setting" VALUES(3,'air_lever_reads','closed');
INSERT INTO "setting" VALUES(4,'emergency','Out of the window.
Ring 112.');
INSERT INTO "setting" VALUES(5,'list leaving','Out of the window.
Ring 112.');
CREATE TABLE typed (
        event INTEGER NOT NULL REFERENCES event (id),
        position INTEGER NOT NULL,
        name TEXT NOT NULL,
        text TEXT NOT NULL,
        unit TEXT NOT NULL,
        PRIMARY KEY (event, position)
    ) STRICT, WITHOUT ROWID
    ;
INSERT INTO "typed" VALUES(6,0,'indoor_c','17.2','°C');
INSERT INTO "typed" VALUES(6,1,'load_kg','4','M');
INSERT INTO "typed" VALUES(7,0,'indoor_c','20.8','°C');
INSERT INTO "typed" VALUES(7,1,'load_kg','4','M');
INSERT INTO "typed" VALUES(8,0,'indoor_c','23.8','°C');
INSERT INTO "typed" VALUES(8,1,'load_kg','4','M');
INSERT INTO "typed" VALUES(29,0,'indoor_c','15.8','°C');
INSERT INTO "typed" VALUES(29,1,'load_kg','4','M');
INSERT INTO "typed" VALUES(32,0,'indoor_c','23.1','°C');
INSERT INTO "typed" VALUES(32,1,'load_kg','4','M');
INSERT INTO "typed" VALUES(33,0,'indoor_c','22.3','°C');
INSERT INTO "typed" VALUES(33,1,'load_kg','4','M');
INSERT INTO "typed" VALUES(35,0,'indoor_c','3.1','°C');
INSERT INTO "typed" VALUES(35,1,'load_kg','4','M');
INSERT INTO "typed" VALUES(57,0,'indoor_c','18.1','°C');
INSERT INTO "typed" VALUES(57,1,'load_kg','4','M');
INSERT INTO "typed" VALUES(58,0,'indoor_c','9.1','°C');
INSERT INTO "typed" VALUES(58,1,'load_kg','4','M');
INSERT INTO "typed" VALUES(59,0,'indoor_c','3.3','°C');
INSERT INTO "typed" VALUES(59,1,'load_kg','4','M');
CREATE UNIQUE INDEX "idx__sqlite_migrations_migration_set_name"
    ON "_sqlite_migrations" ("migration_set", "name");
CREATE INDEX event_counter ON event (counter);
CREATE INDEX event_batch ON event (batch);
CREATE INDEX event_root ON event (root) WHERE root IS NOT NULL;
CREATE INDEX event_target ON event (target) WHERE target IS NOT NULL;
CREATE INDEX entry_at ON entry (at);
CREATE INDEX entry_at_by_people ON entry (at) WHERE flags <> 'logger';
CREATE INDEX setting_name ON setting (name);
CREATE INDEX entry_matter ON entry (at) WHERE matter IS NOT NULL;
CREATE VIEW undone AS
    SELECT b.id AS batch
    FROM (SELECT DISTINCT target FROM event WHERE target IS NOT NULL) AS t
    CROSS JOIN batch AS b ON b.uuid = t.target
    WHERE 'undo' = (
        SELECT e.act FROM event AS e JOIN device AS d ON d.id = e.device
        WHERE e.target = t.target
        ORDER BY e.counter DESC, d.uuid DESC, e.uuid DESC LIMIT 1);
CREATE INDEX event_without_digest ON event (id) WHERE digest IS NULL;
CREATE VIEW readings AS SELECT
    n.at AS "at_utc",
    n.place AS "place",
    n.indoor_c AS "indoor_c",
    n.outdoor_c AS "outdoor_c",
    n.low_c AS "lowest_c",
    n.high_c AS "highest_c",
    n.reset_at AS "reset_at_utc",
    n.rh_pct AS "humidity_pct",
    n.forecast_low_c AS "forecast_low_c",
    n.wind AS "wind",
    n.load_kg AS "load_kg",
    n.air_open_pct AS "air_open_pct",
    n.flue_damper_open_pct AS "flue_damper_open_pct",
    n."window" AS "window",
    n.coals AS "coals",
    n.fire_out AS "fire_out",
    n.other_heat_w AS "other_heat_w",
    n.mark AS "mark",
    n.alarms_tested AS "alarms_tested",
    n.change AS "change",
    n.note AS "note",
    n.matter AS "matter_json",
    n.flags AS "flags",
    e.line AS "as_typed",
    e.uuid AS "id"
    FROM entry AS n CROSS JOIN event AS e ON e.id = n.event
    JOIN device AS d ON d.id = e.device LEFT JOIN event AS r ON r.uuid = e.root
    WHERE e.batch NOT IN (SELECT batch FROM undone)
      AND coalesce(r.batch, e.batch) NOT IN (SELECT batch FROM undone)
      AND NOT EXISTS (
        SELECT 1 FROM event AS later JOIN device AS l ON l.id = later.device
        WHERE later.root = coalesce(e.root, e.uuid) AND later.batch NOT IN (SELECT batch FROM undone)
          AND (later.counter, l.uuid, later.uuid) > (e.counter, d.uuid, e.uuid)) ORDER BY n.at;
CREATE VIEW wood_loads AS SELECT
    n.at AS "at_utc",
    n.load_kg AS "load_kg",
    n.pieces AS "pieces",
    n.species AS "species",
    n.moisture_pct AS "moisture_pct",
    n.moisture_basis AS "moisture_basis",
    n.kindling AS "kindling",
    n.air_open_pct AS "air_open_pct",
    e.uuid AS "id"
    FROM entry AS n CROSS JOIN event AS e ON e.id = n.event
    JOIN device AS d ON d.id = e.device LEFT JOIN event AS r ON r.uuid = e.root
    WHERE e.batch NOT IN (SELECT batch FROM undone)
      AND coalesce(r.batch, e.batch) NOT IN (SELECT batch FROM undone)
      AND NOT EXISTS (
        SELECT 1 FROM event AS later JOIN device AS l ON l.id = later.device
        WHERE later.root = coalesce(e.root, e.uuid) AND later.batch NOT IN (SELECT batch FROM undone)
          AND (later.counter, l.uuid, later.uuid) > (e.counter, d.uuid, e.uuid)) AND n.load_kg IS NOT NULL ORDER BY n.at;
CREATE VIEW upkeep AS SELECT
    n.at AS "at_utc",
    json_extract(n.matter, '$.task') AS "task",
    json_extract(n.matter, '$.finding') AS "finding",
    json_extract(n.matter, '$.deposit_mm') AS "deposit_mm",
    json_extract(n.matter, '$.until') AS "until_day",
    json_extract(n.matter, '$.by') AS "by",
    coalesce(json_extract(n.matter, '$.only_looked'), 0) AS "only_looked",
    e.uuid AS "id"
    FROM entry AS n CROSS JOIN event AS e ON e.id = n.event
    JOIN device AS d ON d.id = e.device LEFT JOIN event AS r ON r.uuid = e.root
    WHERE e.batch NOT IN (SELECT batch FROM undone)
      AND coalesce(r.batch, e.batch) NOT IN (SELECT batch FROM undone)
      AND NOT EXISTS (
        SELECT 1 FROM event AS later JOIN device AS l ON l.id = later.device
        WHERE later.root = coalesce(e.root, e.uuid) AND later.batch NOT IN (SELECT batch FROM undone)
          AND (later.counter, l.uuid, later.uuid) > (e.counter, d.uuid, e.uuid)) AND json_extract(n.matter, '$.kind') = 'upkeep' ORDER BY n.at;
CREATE VIEW descriptions AS SELECT
    v.valid_from AS "valid_from_utc",
    e.written_at AS "written_at_utc",
    v.toml AS "toml",
    e.line AS "own_file",
    e.uuid AS "id"
    FROM description AS v JOIN event AS e ON e.id = v.event JOIN device AS d ON d.id = e.device
    WHERE e.batch NOT IN (SELECT batch FROM undone)
    ORDER BY v.valid_from IS NOT NULL, v.valid_from, e.counter, d.uuid, e.uuid;
CREATE VIEW events AS SELECT
    e.uuid AS "id",
    d.uuid AS "device",
    e.counter AS "counter",
    e.act AS "act",
    e.written_at AS "written_at_utc",
    e.how AS "how",
    e.line AS "as_typed",
    e.supersedes AS "instead_of",
    e.root AS "first_of_them",
    b.uuid AS "batch",
    e.target AS "takes_back",
    n.at AS "at_utc"
    FROM event AS e JOIN device AS d ON d.id = e.device JOIN batch AS b ON b.id = e.batch
    LEFT JOIN entry AS n ON n.event = e.id ORDER BY e.counter, d.uuid, e.uuid;
COMMIT;
