BEGIN TRANSACTION;
CREATE TABLE issued_books (
	id INTEGER NOT NULL, 
	identity VARCHAR(64) NOT NULL, 
	public_key VARCHAR(64) NOT NULL, 
	signature VARCHAR(128) NOT NULL, 
	template VARCHAR(64) NOT NULL, 
	machine VARCHAR(256) NOT NULL, 
	job VARCHAR(256) NOT NULL, 
	canonical TEXT NOT NULL, 
	issued VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (identity, public_key)
);
INSERT INTO "issued_books" VALUES(1,'1AA3-24DA-49B6','','','b47fa68a7519','Distributor A','KEPT-1','{"job":{"agency":"Public works of an invented county","contractor":"An invented paving crew","date":"2026-05-04","invented":true,"name":"INVENTED: Example Road resurfacing, tack coat","number":"KEPT-1","place":"East of Sampleville, Sample County (invented)"},"language":"en","limits":{"air_min":40.0,"rate_checks":null,"source":"Special provision of this invented order: air above 40 °F","surface_max":null,"surface_min":null,"unexplained":0.02},"machines":[{"bar_widths":[8.0,10.0,12.0],"burner_efficiency":0.6,"burner_power":400000.0,"burners":true,"cover_over_flues":6.0,"discharge":60.0,"discharge_max":70.0,"discharge_min":20.0,"fill_limit":0.95,"flue_top":14.0,"meter":true,"monitor":false,"name":"Distributor A","nozzle_flow_max":4.0,"nozzle_flow_min":1.5,"nozzle_spacing":6.0,"payload":null,"reserve":40.0,"serial":"INV-600-01","speed_max":1000.0,"speed_min":150.0,"tank":{"certificate":"","head_depth":0.0,"heads":"flat","height":42.0,"length":72.0,"nominal":null,"points":[],"shape":"elliptical","width":60.0}}],"material":{"dilution":1.0,"flash_point":null,"grade":"CSS-1h","heat_max":null,"material_class":"emulsion","residue":0.6,"specific_gravity":1.01,"spray_max":160.0,"spray_min":70.0,"spray_planned":140.0,"spray_source":"FAA P-602, Table 1"},"paper":"letter","pay":{"currency":"USD","excess_limit":0.1,"hand_exempt":true,"measured_by":"dip","source":"UFGS 02785, 1.2","unit_price":4.25},"planning":{"aggregate_cover":null,"aggregate_truck":null,"allowance":null,"arrival_temperature":120.0,"bar_height":null,"dip_repeat":null,"dip_time":null,"fan_angle":null,"hand_rate":null,"haul_time":null,"level_within":null,"load_time":null,"nozzle_angle":null,"overlap":null,"position_time":null,"prime_extra_width":null,"seal_design":null,"shift_hours":null,"shot_step":null,"specific_heat":null,"start_hour":null,"stick_offset":null},"reading":{"dip":0.0625,"dip_notation":"decimal","meter":1.0,"station":1.0,"temperature":2.0,"width":0.1},"rounding":{"area":1,"chart":1,"factor_asphalt":4,"factor_emulsion":5,"pay":0,"rate":4,"volume":1},"sections":[{"basis":"residual","from_station":11200.0,"hand_spray":false,"id":"S1","lanes":["EB","WB"],"rate":0.05,"rate_temperature":"base","road":"Example Road, existing asphalt","surface":"existing-asphalt","to_station":13800.0,"tolerance":0.1,"tolerance_kind":"percent","width":12.0,"work":"tack"},{"basis":"residual","from_station":13800.0,"hand_spray":false,"id":"S2","lanes":["EB","WB"],"rate":0.06,"rate_temperature":"base","road":"Example Road, milled","surface":"milled-asphalt","to_station":15200.0,"tolerance":0.1,"tolerance_kind":"percent","width":12.0,"work":"tack"},{"basis":"residual","from_station":15200.0,"hand_spray":false,"id":"S3","lanes":["RT"],"rate":0.036,"rate_temperature":"base","road":"Example Road, right turn lane, new asphalt","surface":"new-asphalt","to_station":16000.0,"tolerance":0.005,"tolerance_kind":"absolute","width":10.0,"work":"tack"},{"basis":"residual","from_station":16000.0,"hand_spray":true,"id":"S4","lanes":["RT"],"rate":0.06,"rate_temperature":"base","road":"Driveway apron and gore, hand spray","surface":"milled-asphalt","to_station":16060.0,"tolerance":0.1,"tolerance_kind":"percent","width":22.0,"work":"tack"}],"size":{"days":7,"loads":16,"shots":48},"units":"us"}','2026-11-30T12:26:40Z');
CREATE TABLE issued_layouts (
	identity VARCHAR(64) NOT NULL, 
	layout BLOB NOT NULL, 
	PRIMARY KEY (identity)
);
INSERT INTO "issued_layouts" VALUES('1AA3-24DA-49B6',X'6C61796F7574');
CREATE TABLE known_orders (
	digest VARCHAR(64) NOT NULL, 
	canonical TEXT NOT NULL, 
	PRIMARY KEY (digest)
);
INSERT INTO "known_orders" VALUES('738aa01332c69ea95a657995b6100bc5b18b49da647e0252b0f5b37f902ac718','{"job":{"agency":"Public works of an invented county","contractor":"An invented paving crew","date":"2026-05-04","invented":true,"name":"INVENTED: Example Road resurfacing, tack coat","number":"KEPT-1","place":"East of Sampleville, Sample County (invented)"},"language":"en","limits":{"air_min":40.0,"rate_checks":null,"source":"Special provision of this invented order: air above 40 °F","surface_max":null,"surface_min":null,"unexplained":0.02},"machines":[{"bar_widths":[8.0,10.0,12.0],"burner_efficiency":0.6,"burner_power":400000.0,"burners":true,"cover_over_flues":6.0,"discharge":60.0,"discharge_max":70.0,"discharge_min":20.0,"fill_limit":0.95,"flue_top":14.0,"meter":true,"monitor":false,"name":"Distributor A","nozzle_flow_max":4.0,"nozzle_flow_min":1.5,"nozzle_spacing":6.0,"payload":null,"reserve":40.0,"serial":"INV-600-01","speed_max":1000.0,"speed_min":150.0,"tank":{"certificate":"","head_depth":0.0,"heads":"flat","height":42.0,"length":72.0,"nominal":null,"points":[],"shape":"elliptical","width":60.0}}],"material":{"dilution":1.0,"flash_point":null,"grade":"CSS-1h","heat_max":null,"material_class":"emulsion","residue":0.6,"specific_gravity":1.01,"spray_max":160.0,"spray_min":70.0,"spray_planned":140.0,"spray_source":"FAA P-602, Table 1"},"paper":"letter","pay":{"currency":"USD","excess_limit":0.1,"hand_exempt":true,"measured_by":"dip","source":"UFGS 02785, 1.2","unit_price":4.25},"planning":{"aggregate_cover":null,"aggregate_truck":null,"allowance":null,"arrival_temperature":120.0,"bar_height":null,"dip_repeat":null,"dip_time":null,"fan_angle":null,"hand_rate":null,"haul_time":null,"level_within":null,"load_time":null,"nozzle_angle":null,"overlap":null,"position_time":null,"prime_extra_width":null,"seal_design":null,"shift_hours":null,"shot_step":null,"specific_heat":null,"start_hour":null,"stick_offset":null},"reading":{"dip":0.0625,"dip_notation":"decimal","meter":1.0,"station":1.0,"temperature":2.0,"width":0.1},"rounding":{"area":1,"chart":1,"factor_asphalt":4,"factor_emulsion":5,"pay":0,"rate":4,"volume":1},"sections":[{"basis":"residual","from_station":11200.0,"hand_spray":false,"id":"S1","lanes":["EB","WB"],"rate":0.05,"rate_temperature":"base","road":"Example Road, existing asphalt","surface":"existing-asphalt","to_station":13800.0,"tolerance":0.1,"tolerance_kind":"percent","width":12.0,"work":"tack"},{"basis":"residual","from_station":13800.0,"hand_spray":false,"id":"S2","lanes":["EB","WB"],"rate":0.06,"rate_temperature":"base","road":"Example Road, milled","surface":"milled-asphalt","to_station":15200.0,"tolerance":0.1,"tolerance_kind":"percent","width":12.0,"work":"tack"},{"basis":"residual","from_station":15200.0,"hand_spray":false,"id":"S3","lanes":["RT"],"rate":0.036,"rate_temperature":"base","road":"Example Road, right turn lane, new asphalt","surface":"new-asphalt","to_station":16000.0,"tolerance":0.005,"tolerance_kind":"absolute","width":10.0,"work":"tack"},{"basis":"residual","from_station":16000.0,"hand_spray":true,"id":"S4","lanes":["RT"],"rate":0.06,"rate_temperature":"base","road":"Driveway apron and gore, hand spray","surface":"milled-asphalt","to_station":16060.0,"tolerance":0.1,"tolerance_kind":"percent","width":22.0,"work":"tack"}],"size":{"days":7,"loads":16,"shots":48},"units":"us"}');
CREATE TABLE register_of_books (
	id INTEGER NOT NULL, 
	schema_version INTEGER NOT NULL, 
	made VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id)
);
INSERT INTO "register_of_books" VALUES(1,2,'2026-11-30T12:26:38Z');
CREATE TABLE returned_books (
	id INTEGER NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	book VARCHAR(128) NOT NULL, 
	identity VARCHAR(64) NOT NULL, 
	number INTEGER NOT NULL, 
	supersedes INTEGER, 
	superseded_by INTEGER, 
	path TEXT NOT NULL, 
	rechecked VARCHAR(32) NOT NULL, 
	program VARCHAR(64) NOT NULL, 
	template VARCHAR(256) NOT NULL, 
	origin VARCHAR(32) NOT NULL, 
	verdict VARCHAR(16) NOT NULL, 
	public_key VARCHAR(256) NOT NULL, 
	machine VARCHAR(256) NOT NULL, 
	serial VARCHAR(256) NOT NULL, 
	contractor VARCHAR(256) NOT NULL, 
	job VARCHAR(256) NOT NULL, 
	"order" VARCHAR(64) NOT NULL, 
	language VARCHAR(8) NOT NULL, 
	units VARCHAR(8) NOT NULL, 
	price DOUBLE, 
	currency VARCHAR(16) NOT NULL, 
	station_reading DOUBLE NOT NULL, 
	totals TEXT NOT NULL, 
	entries TEXT NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (book, number), 
	UNIQUE (sha256), 
	FOREIGN KEY(supersedes) REFERENCES returned_books (id), 
	FOREIGN KEY(superseded_by) REFERENCES returned_books (id)
);
INSERT INTO "returned_books" VALUES(1,'f858b1fd1f6f269d883abc37acc35f0964541b9cadf2c796a34f97870dc18b0a','1AA3-24DA-49B6','1AA3-24DA-49B6',1,NULL,2,'returned/f00.xlsx','2026-11-30T12:26:43Z','0.1.0','b47fa68a7519','unsigned','note','','Distributor A','INV-600-01','An invented paving crew','KEPT-1','738aa01332c69ea95a657995b6100bc5b18b49da647e0252b0f5b37f902ac718','en','us',4.25,'USD',1.0,'{"counts":{"note":1},"overall":{"area":11702.3,"deducted":0.0,"end":87.5,"loaded":1053.3,"payable":1020.0,"returned":0.0,"share":-0.00063,"sprayed":1019.5,"start":57.9,"undiluted":1019.5,"unexplained":-0.7,"wasted":4.9,"water":0.0},"sections":{"S1":{"area":6933.3,"cap":635.5525000000001,"deducted":0.0,"hand":0.0,"ordered":577.7750000000001,"payable":580.8000000000001,"shots":6.0,"undiluted":580.8000000000001},"S2":{"area":3733.4,"cap":410.6740000000001,"deducted":0.0,"hand":0.0,"ordered":373.34000000000003,"payable":371.20000000000005,"shots":2.0,"undiluted":371.20000000000005},"S3":{"area":888.9,"cap":58.6674,"deducted":0.0,"hand":0.0,"ordered":53.333999999999996,"payable":53.4,"shots":1.0,"undiluted":53.4},"S4":{"area":146.7,"cap":0.0,"deducted":0.0,"hand":14.1,"ordered":0.0,"payable":14.1,"shots":1.0,"undiluted":0.0}}}','eJyVml1v2zYUhv9K4NumrvhN7m5Ju7Vb99UU2MUwGFqsLEYT27DVFe2w/z7yUFIOxXMEVBeUw7yHlvg+LynH+Xf1onlx2562m3N32+8O+41YffPH6jr2rC5X3/rY3Ijc/HlZaSXWCtDJ3BBiVYh10qncEGJdiF3S6dxk8antu/OoTtp3qSMqrvTsmrft53MsaHenTd89HrtY+fHUpZKX8TdR9tLGxsTrNnLdPBVs44BIdZVU2godrwVOWNvtt5vt7ojkr5Pcr83qMjalkL6KN6lA6GZ1GRs89gHEhxPSXift9an7dHG4u+jvu4tt93igup5GOfftqZ9d43dpGLtWLl4lnOZy+kq/5670/PF01952TNkreLc4zTZP88Oh3eJ5fpt+Zid6VP99areFHG7i+ubmubh/eoEK9l2/eWzPZ1wDd6BlE28htcUbnI/d7e5ud7uJ7/TPrv+M636AO183Ea7U4qqPx+PDrjthNdzwm/0/3b7vthfHh3bf1x1ojNm0jcPUYEwFu9sPXY+1gPL758o6g18VNY/F6IBSs1YAQT5PalF743hvBOGNW/JG0N7AWzQ+eRPb4g0WvXG0N4L2xn2NN4L1xtHeCMobNzriLXpV1My8ceCNbkIj3Xj4ZFPZFY9pFFl75nnPJOGZX/JM0p6lGpMsM4VjctkxPzg2WCZwHeWZ/xrPJOuZpz2TlGd+dCoY9KqomXnms2c2aHSAZ2WX1nGU8/2hx2vgTfqZXQMn9e64ae/6PDtjyU+pRDXrlGM4zQr+6u4Op+JN3kKFTXtUapE+7lJY+HJYI3RQjRkPC8tF0WUMvqe70+FxE/eRcYMeR8vbh5DP0vIbz8P6O5ZFF4urhPX91VVusC5OONb9CMMCSUj12MVpqifrF9iLhI9mpZYoqafr51zTpB0stkXN/vDly0N3xnLYK2R0XupCih5ZRilsFOiJZZKmTRgLx8VaeyuejmxE0SXQKLMYjGP9Wm0rU8GBsu11ti08M2BbMGXRp922v8f6vG3FyRJ4qkSNOrmlTGoS9VQi7VrDpjW8mBURuDsuIKICPi+8yniFDpjnsktpNAgLvFuYOVED7yjgRQ28q4EXLPAOHr7y45eVRAkBvONCIkjgHQW8IIF3FPCCAH40wlnlxyNkI3CXD2gUDvhqr54KaOBBL21ep6RtyqIaeEcBL2vgyf14UpPAw5bl1wGAH17Migjg/VJMZAV93rmUNcHJ6YC5LrskGoNl3i9MnqyZ9xTzsmbe18xLlvkkthoWbN1IooRg3nM5kSTznmJeksx7inlJMD/6oPFak30ouhQahWO+etaZCmjmQa98tk35mW2f2nPJ8ju4/3j7payKhqeioepoBD4aiolGgMV1baxM0cgvZkVENMJSoFQVjZAtcbp6ACq6YicahM1GWJhkVWcjyX+/yg3WzbMR6mwoNhtJbI2K6KaWKCGyEbg8KTIbgcqGIrMRqGwoIhujETIIOx4uG4G7rEOjcNkYbAAPiitkshGGJc3kJc2UttXQBwp6XUMvGp56zVAPNXYN0MNpVkEgDyVsUnTFPOjjxPqCb5jrogs/9Wse+vz2zPTpmnrQV9jrGvs8cMm9ZrnPE2ebaE5qiRoC/FxEpUWT5IO+Ql+T6IO2Yl8T7I+GuICf9TP8RZdAw3Dw51mrdwbN0T/gE57BiimCM0VVjf9g+Ix/Q/AveP4Nx3+qkQEe5uE0q6D4TyXK5MzkMyqq6Bcw2Vo2eMeFz/FlF/oIYBboFwuzZwj6BUW/IegX9Q5sePqT2rr0R7LUEjUU/YKLjKHpFxT9hqZfUPQbiv7JEDH7KFB2oY8Chqdf0PQblv7sH/1HC0M8GGXaImilrk6JoFJiiZRIPiWWS0mqEWGtBCz5+cWsikqK5MJl65zIwZZi98224C5rNRqFz4lceDayRE6SvvrgYImcyDonls9JUlsfUk5iS9RQOZFcuCydE0nlxNI5Gb5WG79bm7R1TkZDXOPnC1fRpdAwbE4knRPL5gQKzJATI2f+EfxLin9H8K94/h3Hf6rxwwdgX37+dSz9aik0rk6AyhM+fIMyexOedLUwU44gXVE7giNIVzXpjic9qV2TvlZILVFDka64eDiadEWR7mjSFUW6o0gfJ97o2YeBsgt9GHA86Yom3bGkq4WVylGkK4p0T5CuedI9R3qqCQOEoYTQs6RruCJY5+GESirKdZ5sL8L8e42yS+NRePr1Av2eoD/p373PDRZW9Ot63/U8/UntRFofU0vUUPRrLjKepj/pZbxPWd4kSf/s3yImbU3/ZIg0gw0STz0LuqZB9yzoUGCbbJVtZlYRoENBEmNlIEA3POiBA92siv+rwGoKccPnItSQmzynxYNLXlHKZxn0MBMWIDcLMxdefNiVb/8b6O/b/fbifDy1n4cfVqikzoWhchGIXJg6F4HPhYFcpH+lSS1RQ+XCcGEKNOtJj/6rZ9LWrA+++GKpydSXq49C47AJMHQCApuA0UebfbRlFZGAVJD+di7TUv/f/1fkRaE=');
INSERT INTO "returned_books" VALUES(2,'c81dbda270e292892a651a96da3caf7c0552d828906946760e1e4f570e34ea60','1AA3-24DA-49B6','1AA3-24DA-49B6',2,1,NULL,'returned/f01.xlsx','2026-11-30T12:26:46Z','0.1.0','b47fa68a7519','unsigned','note','','Distributor A','INV-600-01','An invented paving crew','KEPT-1','738aa01332c69ea95a657995b6100bc5b18b49da647e0252b0f5b37f902ac718','en','us',4.25,'USD',1.0,'{"counts":{"note":1},"overall":{"area":11702.2,"deducted":0.0,"end":81.2,"loaded":1059.9,"payable":1014.0,"returned":0.0,"share":0.002449,"sprayed":1013.9,"start":42.8,"undiluted":1013.9,"unexplained":2.7,"wasted":4.9,"water":0.0},"sections":{"S1":{"area":6933.3,"cap":635.5525000000001,"deducted":0.0,"hand":0.0,"ordered":577.7750000000001,"payable":574.8,"shots":6.0,"undiluted":574.8},"S2":{"area":3733.3,"cap":410.66300000000007,"deducted":0.0,"hand":0.0,"ordered":373.33000000000004,"payable":371.2,"shots":4.0,"undiluted":371.2},"S3":{"area":888.9,"cap":58.6674,"deducted":0.0,"hand":0.0,"ordered":53.333999999999996,"payable":53.2,"shots":1.0,"undiluted":53.2},"S4":{"area":146.7,"cap":0.0,"deducted":0.0,"hand":14.7,"ordered":0.0,"payable":14.7,"shots":1.0,"undiluted":0.0}}}','eJyVWl2PG7cV/SuLfbUj8/ujb7WdNmnTtLUD9KEoFupqtivEu1pIcgyn6H8vP2akS/LcATIPnFnuORTn3nPIOyP99/aNeHO/Pe7uTtP9eX94vpO3v/vn7bvUc/v69vchNR9lbf71esAqipUFp2oDwLoBm4zTtQFg04B9xpnaVPBxe55OCzpjP+SOhHhrujnvtl9PibDdH+/O09PLlJifj1OmvE//SbD3LjU2zduqjbgSdmlAgnqbUcZJk+ZSThQ7Pe/udvsXAv8uw8NGOGVvX9dzC8dz+T7TpE63kBr6CYcCPhwJ9l3GvjtOX24ODzfnx+lmNz0dUNd1lNN5ezx3M/1Duf2NDD7NtJ57Ap7rH8tcjUhzNYLO9fT5+LC9nxjat5nmEstV0qfDdkfj/UP+mw34gv7Pcbtr4OU23n38+I18vF4QwvN0vnvank6UU+7ASJUmk9vmA04v0/3+YX9/lz7pl/35K+X9qdz5RmTFlxPlfX55+bSfjhRfbvn751+m5/O0u3n5tH0+jx1kjC5wyzBVHMblgLtmsuf9/c/TmWKLqH/6xnqnFblqOE/N6EVOYqOlVf5yJCH2Xem4jCLHrHk+axJkza9lTeKsZY6OOWu5bT5gNWt+zlpNGmWhnPnfkjPJ5qx8qFE5Z6qZKsiZXzLlDLlqOF3OfM1ZFNGry1Fy1napyyBqTFngU6ZAysJayhROWeaEkDKWmmb41YQFnDCFExZ+S8IUm7DQr2oXwpiwsKTJK3LVcLqEhZIw43S4HjEnrO0KMQ1yejyc6cr4Mf/NrowX9P7lbvtwrsFZKH/JFC02Mm9H9dxR/j09HI7Nx/xQOGZjyx42XxBW2sUo/P28fih6I+XW2q7m1h6Oh6e7tMksu/gyWN1bpHolciLS2iyae0y5bKZaFv9v39aG4lLYKe7PZdgiJ4J6mlK0xpj9NYO9dekecgsoY8x+LBwTMye1Def58Ouvn6YThZeNRCWzK9NASV2zQMseQsqaCzTv0BS4rOMqzdlcjpqHpsvQZHZuWAb7W91yTHZDO8XzAeXtu5q38CpLJp2VbUhf9rvzI8XXLS2vjooA5Sh5uK1c0FDyvsR240phM190JCB6zxtFDpKfl9/2KKHuDjIGK3m/Ejo5St4jyctR8n6UvGQln8Fp00kzyC2gAMl7ziYSSt4jyUsoeY8kL4HklzxIKu+ah6bL0ERwkvdY8pKTfMEr9yrLLJ19G7ZR8h5KHizzcmWdl9xCX0hxLufjUs43JKB6WX04m2W+oLxe+bKuMibDy4mCWYnXj7Hzsm7bZV2Cdb0QPvxUmwbZy7wgk/d0OyIn9AIPViVGbhEJSL2yTPZHblsWEnsh5EpVdXeK5F7A5Jn4Ch4Efwm/0cIuh6upoF3WGjoQJ3k5PHZeKVj0leFEzaQTfSa/bE+tmj8wCRr9UYfOwzZjgk1Bru0K3LZQSMOTeUNCBvErtho3BllXJBOGnaHr0oYOwxvHr4Vbvvl5307g74XwuH3e3Zxejtuv8x+3lDOazUOzgT2lIPtc8rtKDbnNRXVuEQmZzbMWxdtF/5roCh79s+SHWqX6p+my1tOBWP/UPYM8NFwpjH+WhLqaUNfRgH/KxplWkg44+qcAM5JC1Wgf+Nx3QUPzlIejvEyEAQxME9YqMDWYpj4baSPd9fBlF2+6nCdjsI4JK7uyGrUfUDWlRuWHsZpSrO4z2Pv8EJRbQAGqD1wFpuAGE1A1paA9uveiF+hgjiUPYngR1HT5QEbhnBFwMaU4X4S6EdV1TodmnVNA7AEVU3rUeuS1rhmtxzKVTdZPajs4UHtE3tCDyuMc3djv3G0X3bk1L/O4Ei89yjzD//G2NhTXyzyOMteszDPYB59mkFtAATKPnDU0lHlEMtdQ5hHJXAOZL4nwUfbLDe1KLiTDcDqPWOea03nNm6jLkxbN8qSBziPSuQElkeCFbriKKHP8vEz7dpU2bEEksD3MWAuJGuj6Hmm+IHi+6BErQTKgfhFI3QaUL2KUt+GrlxKeWJbk6CzgoOJFcKYw+EFBIIUbXOcIJHGDypwl9CY4eTlqEpouSYZhixyBNW7YGqcQlHpl8+KklG3DACoXgVRugcolr3LLqTxz1CJz1encsjrPNG035X1QPhHKoHRZq0qhROiq/rZL01F4/cuV+Fmgf4n0b4H+5VhKWl7/GR1ESLHOLeAg/UvONBbrXyL9W6x/ifRvkf6XhIj+XWjXZRwZhzVAyQf9LufCYAxQCMxbbIsMIJEBHDCA4g3gOANkjhKLAURrAMcaQK35xo0mUDXmUphuX2276L7qVkygViocB0ygUCXvgAnUaALHmyCjg8rvJnILOMgEinOOwyZQyAQOm2D+ocXya4sLdjTBnBARSfUeqgliU9B7Mg5rgpKP8VHXsSaoBF9XMeNtywImUMgEHphA8ybwnAkyR/qNLjVFOXccZAG95hw/WkDPFmieWqsFXNNHBuEdoFcC6IEDNHKABw7QowM87wBdHOCzmFMLOMgBmrONxw7QyAEeO0AjB3jkgCUftv+avOtShozDOkDjbcCzDigE5q23Rw7QyAEBOMDwDgicAzInbkoxXk4dA+nf8KYJo/pNjXat9k3zAbzIzUqMAhC5QbVOACI3o8gDL/KMDibHPreAg0RuOGcELHKDRB6wyA0SeUAiX8KuaV1fU9B0STIMq3GDV/nAarwS5vyZPn9A4wZpPAKNW17jkdN45tjN/JM2ulhHVuOWs0UcFW5rqMfvfbsuTUfhtW9XYheB9i3SfgTat6P2I699e8t8uRVXtG85w0SsfYu0H7H2LdJ+RNpfEkJ/aVJ/VtP9HoUMw2rfYu1HVvt2pUSNSPuWav9//wf4NO6C');
INSERT INTO "returned_books" VALUES(3,'d3179db13cb96bbf32d80161efde1b1b7c1013e5de2efc89e6974b2c7f3b9677','BB33-39C5-2924','BB33-39C5-2924',1,NULL,NULL,'returned/f10.xlsx','2026-11-30T12:26:51Z','0.1.0','b47fa68a7519','unsigned','note','','Distributor A','INV-600-01','An invented paving crew','KEPT-2','3bdc489d6ba1d9e3bc809237fc4adb11b89a528c48c9cb09c9da85dea5cdb045','en','us',4.25,'USD',1.0,'{"counts":{"note":1},"overall":{"area":11702.3,"deducted":0.0,"end":87.5,"loaded":1053.3,"payable":1020.0,"returned":0.0,"share":-0.00063,"sprayed":1019.5,"start":57.9,"undiluted":1019.5,"unexplained":-0.7,"wasted":4.9,"water":0.0},"sections":{"S1":{"area":6933.3,"cap":635.5525000000001,"deducted":0.0,"hand":0.0,"ordered":577.7750000000001,"payable":580.8000000000001,"shots":6.0,"undiluted":580.8000000000001},"S2":{"area":3733.4,"cap":410.6740000000001,"deducted":0.0,"hand":0.0,"ordered":373.34000000000003,"payable":371.20000000000005,"shots":2.0,"undiluted":371.20000000000005},"S3":{"area":888.9,"cap":58.6674,"deducted":0.0,"hand":0.0,"ordered":53.333999999999996,"payable":53.4,"shots":1.0,"undiluted":53.4},"S4":{"area":146.7,"cap":0.0,"deducted":0.0,"hand":14.1,"ordered":0.0,"payable":14.1,"shots":1.0,"undiluted":0.0}}}','eJyVml1v2zYUhv9K4NumrvhN7m5Ju7Vb99UU2MUwGFqsLEYT27DVFe2w/z7yUFIOxXMEVBeUw7yHlvg+LynH+Xf1onlx2562m3N32+8O+41YffPH6jr2rC5X3/rY3Ijc/HlZaSXWCtDJ3BBiVYh10qncEGJdiF3S6dxk8antu/OoTtp3qSMqrvTsmrft53MsaHenTd89HrtY+fHUpZKX8TdR9tLGxsTrNnLdPBVs44BIdZVU2godrwVOWNvtt5vt7ojkr5Pcr83qMjalkL6KN6lA6GZ1GRs89gHEhxPSXift9an7dHG4u+jvu4tt93igup5GOfftqZ9d43dpGLtWLl4lnOZy+kq/5670/PF01952TNkreLc4zTZP88Oh3eJ5fpt+Zid6VP99areFHG7i+ubmubh/eoEK9l2/eWzPZ1wDd6BlE28htcUbnI/d7e5ud7uJ7/TPrv+M636AO183Ea7U4qqPx+PDrjthNdzwm/0/3b7vthfHh3bf1x1ojNm0jcPUYEwFu9sPXY+1gPL758o6g18VNY/F6IBSs1YAQT5PalF743hvBOGNW/JG0N7AWzQ+eRPb4g0WvXG0N4L2xn2NN4L1xtHeCMobNzriLXpV1My8ceCNbkIj3Xj4ZFPZFY9pFFl75nnPJOGZX/JM0p6lGpMsM4VjctkxPzg2WCZwHeWZ/xrPJOuZpz2TlGd+dCoY9KqomXnms2c2aHSAZ2WX1nGU8/2hx2vgTfqZXQMn9e64ae/6PDtjyU+pRDXrlGM4zQr+6u4Op+JN3kKFTXtUapE+7lJY+HJYI3RQjRkPC8tF0WUMvqe70+FxE/eRcYMeR8vbh5DP0vIbz8P6O5ZFF4urhPX91VVusC5OONb9CMMCSUj12MVpqifrF9iLhI9mpZYoqafr51zTpB0stkXN/vDly0N3xnLYK2R0XupCih5ZRilsFOiJZZKmTRgLx8VaeyuejmxE0SXQKLMYjGP9Wm0rU8GBsu11ti08M2BbMGXRp922v8f6vG3FyRJ4qkSNOrmlTGoS9VQi7VrDpjW8mBURuDsuIKICPi+8yniFDpjnsktpNAgLvFuYOVED7yjgRQ28q4EXLPAOHr7y45eVRAkBvONCIkjgHQW8IIF3FPCCAH40wlnlxyNkI3CXD2gUDvhqr54KaOBBL21ep6RtyqIaeEcBL2vgyf14UpPAw5bl1wGAH17Migjg/VJMZAV93rmUNcHJ6YC5LrskGoNl3i9MnqyZ9xTzsmbe18xLlvkkthoWbN1IooRg3nM5kSTznmJeksx7inlJMD/6oPFak30ouhQahWO+etaZCmjmQa98tk35mW2f2nPJ8ju4/3j7payKhqeioepoBD4aiolGgMV1baxM0cgvZkVENMJSoFQVjZAtcbp6ACq6YicahM1GWJhkVWcjyX+/yg3WzbMR6mwoNhtJbI2K6KaWKCGyEbg8KTIbgcqGIrMRqGwoIhujETIIOx4uG4G7rEOjcNkYbAAPiitkshGGJc3kJc2UttXQBwp6XUMvGp56zVAPNXYN0MNpVkEgDyVsUnTFPOjjxPqCb5jrogs/9Wse+vz2zPTpmnrQV9jrGvs8cMm9ZrnPE2ebaE5qiRoC/FxEpUWT5IO+Ql+T6IO2Yl8T7I+GuICf9TP8RZdAw3Dw51mrdwbN0T/gE57BiimCM0VVjf9g+Ix/Q/AveP4Nx3+qkQEe5uE0q6D4TyXK5MzkMyqq6Bcw2Vo2eMeFz/FlF/oIYBboFwuzZwj6BUW/IegX9Q5sePqT2rr0R7LUEjUU/YKLjKHpFxT9hqZfUPQbiv7JEDH7KFB2oY8Chqdf0PQblv7sH/1HC0M8GGXaImilrk6JoFJiiZRIPiWWS0mqEWGtBCz5+cWsikqK5MJl65zIwZZi98224C5rNRqFz4lceDayRE6SvvrgYImcyDonls9JUlsfUk5iS9RQOZFcuCydE0nlxNI5Gb5WG79bm7R1TkZDXOPnC1fRpdAwbE4knRPL5gQKzJATI2f+EfxLin9H8K94/h3Hf6rxwwdgX37+dSz9aik0rk6AyhM+fIMyexOedLUwU44gXVE7giNIVzXpjic9qV2TvlZILVFDka64eDiadEWR7mjSFUW6o0gfJ97o2YeBsgt9GHA86Yom3bGkq4WVylGkK4p0T5CuedI9R3qqCQOEoYTQs6RruCJY5+GESirKdZ5sL8L8e42yS+NRePr1Av2eoD/p373PDRZW9Ot63/U8/UntRFofU0vUUPRrLjKepj/pZbxPWd4kSf/s3yImbU3/ZIg0gw0STz0LuqZB9yzoUGCbbJVtZlYRoENBEmNlIEA3POiBA92siv+rwGoKccPnItSQmzynxYNLXlHKZxn0MBMWIDcLMxdefNiVb/8b6O/b/fbifDy1n4cfVqikzoWhchGIXJg6F4HPhYFcpH+lSS1RQ+XCcGEKNOtJj/6rZ9LWrA+++GKpydSXq49C47AJMHQCApuA0UebfbRlFZGAVJD+di7TUv/f/1fkRaE=');
CREATE TABLE returned_copies (
	id INTEGER NOT NULL, 
	return_id INTEGER NOT NULL, 
	path_sha256 VARCHAR(64) NOT NULL, 
	path TEXT NOT NULL, 
	seen VARCHAR(32) NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (return_id, path_sha256), 
	FOREIGN KEY(return_id) REFERENCES returned_books (id)
);
INSERT INTO "returned_copies" VALUES(1,1,'b3525116a757ddd0888943f33e4718b1275b7486a967d710bebd7269e4b8b996','returned/f00.xlsx','2026-11-30T12:26:43Z');
INSERT INTO "returned_copies" VALUES(2,2,'a996ddce176922d18ce97ea093ed3f6a194d7f51b2656df2bd689cbdd768ba3a','returned/f01.xlsx','2026-11-30T12:26:46Z');
INSERT INTO "returned_copies" VALUES(3,3,'c56781ac61222bb5eec929e39e8def49546a4c78f4511b2a8e4060fd938996e6','returned/f10.xlsx','2026-11-30T12:26:51Z');
CREATE TABLE returned_rechecks (
	id INTEGER NOT NULL, 
	return_id INTEGER NOT NULL, 
	rechecked VARCHAR(32) NOT NULL, 
	program VARCHAR(64) NOT NULL, 
	origin VARCHAR(32) NOT NULL, 
	verdict VARCHAR(16) NOT NULL, 
	totals TEXT NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(return_id) REFERENCES returned_books (id)
);
INSERT INTO "returned_rechecks" VALUES(1,1,'2026-11-30T12:26:43Z','0.1.0','unsigned','note','{"counts":{"note":1},"overall":{"area":11702.3,"deducted":0.0,"end":87.5,"loaded":1053.3,"payable":1020.0,"returned":0.0,"share":-0.00063,"sprayed":1019.5,"start":57.9,"undiluted":1019.5,"unexplained":-0.7,"wasted":4.9,"water":0.0},"sections":{"S1":{"area":6933.3,"cap":635.5525000000001,"deducted":0.0,"hand":0.0,"ordered":577.7750000000001,"payable":580.8000000000001,"shots":6.0,"undiluted":580.8000000000001},"S2":{"area":3733.4,"cap":410.6740000000001,"deducted":0.0,"hand":0.0,"ordered":373.34000000000003,"payable":371.20000000000005,"shots":2.0,"undiluted":371.20000000000005},"S3":{"area":888.9,"cap":58.6674,"deducted":0.0,"hand":0.0,"ordered":53.333999999999996,"payable":53.4,"shots":1.0,"undiluted":53.4},"S4":{"area":146.7,"cap":0.0,"deducted":0.0,"hand":14.1,"ordered":0.0,"payable":14.1,"shots":1.0,"undiluted":0.0}}}');
INSERT INTO "returned_rechecks" VALUES(2,2,'2026-11-30T12:26:46Z','0.1.0','unsigned','note','{"counts":{"note":1},"overall":{"area":11702.2,"deducted":0.0,"end":81.2,"loaded":1059.9,"payable":1014.0,"returned":0.0,"share":0.002449,"sprayed":1013.9,"start":42.8,"undiluted":1013.9,"unexplained":2.7,"wasted":4.9,"water":0.0},"sections":{"S1":{"area":6933.3,"cap":635.5525000000001,"deducted":0.0,"hand":0.0,"ordered":577.7750000000001,"payable":574.8,"shots":6.0,"undiluted":574.8},"S2":{"area":3733.3,"cap":410.66300000000007,"deducted":0.0,"hand":0.0,"ordered":373.33000000000004,"payable":371.2,"shots":4.0,"undiluted":371.2},"S3":{"area":888.9,"cap":58.6674,"deducted":0.0,"hand":0.0,"ordered":53.333999999999996,"payable":53.2,"shots":1.0,"undiluted":53.2},"S4":{"area":146.7,"cap":0.0,"deducted":0.0,"hand":14.7,"ordered":0.0,"payable":14.7,"shots":1.0,"undiluted":0.0}}}');
INSERT INTO "returned_rechecks" VALUES(3,3,'2026-11-30T12:26:51Z','0.1.0','unsigned','note','{"counts":{"note":1},"overall":{"area":11702.3,"deducted":0.0,"end":87.5,"loaded":1053.3,"payable":1020.0,"returned":0.0,"share":-0.00063,"sprayed":1019.5,"start":57.9,"undiluted":1019.5,"unexplained":-0.7,"wasted":4.9,"water":0.0},"sections":{"S1":{"area":6933.3,"cap":635.5525000000001,"deducted":0.0,"hand":0.0,"ordered":577.7750000000001,"payable":580.8000000000001,"shots":6.0,"undiluted":580.8000000000001},"S2":{"area":3733.4,"cap":410.6740000000001,"deducted":0.0,"hand":0.0,"ordered":373.34000000000003,"payable":371.20000000000005,"shots":2.0,"undiluted":371.20000000000005},"S3":{"area":888.9,"cap":58.6674,"deducted":0.0,"hand":0.0,"ordered":53.333999999999996,"payable":53.4,"shots":1.0,"undiluted":53.4},"S4":{"area":146.7,"cap":0.0,"deducted":0.0,"hand":14.1,"ordered":0.0,"payable":14.1,"shots":1.0,"undiluted":0.0}}}');
CREATE TABLE returned_spells (
	id INTEGER NOT NULL, 
	return_id INTEGER NOT NULL, 
	machine_key VARCHAR(32) NOT NULL, 
	"row" INTEGER NOT NULL, 
	sheet VARCHAR(64) NOT NULL, 
	cell VARCHAR(16) NOT NULL, 
	began DOUBLE NOT NULL, 
	ended DOUBLE NOT NULL, 
	road VARCHAR(256) NOT NULL, 
	station DOUBLE, 
	PRIMARY KEY (id), 
	FOREIGN KEY(return_id) REFERENCES returned_books (id)
);
INSERT INTO "returned_spells" VALUES(1,1,'42c8c651c2dde79aabc39a261a273542',0,'Shots','C6',4.61473486111111124048e+04,4.61473493055555591133e+04,'Example Road, existing asphalt',11200.0);
INSERT INTO "returned_spells" VALUES(2,1,'42c8c651c2dde79aabc39a261a273542',1,'Shots','C7',4.61473576388888905063e+04,4.61473583333333299376e+04,'Example Road, existing asphalt',11950.0);
INSERT INTO "returned_spells" VALUES(3,1,'42c8c651c2dde79aabc39a261a273542',2,'Shots','C8',4.61473645833333357595e+04,4.61473659722222218993e+04,'Example Road, existing asphalt',12600.0);
INSERT INTO "returned_spells" VALUES(4,1,'42c8c651c2dde79aabc39a261a273542',3,'Shots','C9',4.61473729166666671525e+04,4.61473743055555532923e+04,'Example Road, existing asphalt',13800.0);
INSERT INTO "returned_spells" VALUES(5,1,'42c8c651c2dde79aabc39a261a273542',4,'Shots','C10',4.61473798611111124057e+04,4.61473805555555591142e+04,'Example Road, existing asphalt',12650.0);
INSERT INTO "returned_spells" VALUES(6,1,'42c8c651c2dde79aabc39a261a273542',5,'Shots','C11',4.61474201388888905037e+04,4.61474208333333299394e+04,'Example Road, existing asphalt',11975.0);
INSERT INTO "returned_spells" VALUES(7,1,'42c8c651c2dde79aabc39a261a273542',6,'Shots','C12',4.6147427083333335757e+04,4.61474291666666686052e+04,'Example Road, milled',13800.0);
INSERT INTO "returned_spells" VALUES(8,1,'42c8c651c2dde79aabc39a261a273542',7,'Shots','C13',4.61474354166666671499e+04,46147.4375,'Example Road, milled',15200.0);
INSERT INTO "returned_spells" VALUES(9,1,'42c8c651c2dde79aabc39a261a273542',8,'Shots','C14',46147.48125,4.61474819444444437971e+04,'Example Road, right turn lane, new asphalt',15200.0);
INSERT INTO "returned_spells" VALUES(10,1,'42c8c651c2dde79aabc39a261a273542',9,'Shots','C15',4.61474881944444423418e+04,4.6147491666666668607e+04,'Driveway apron and gore, hand spray',16000.0);
INSERT INTO "returned_spells" VALUES(11,2,'42c8c651c2dde79aabc39a261a273542',0,'Shots','C6',4.61473256944444437969e+04,4.61473263888888905054e+04,'Example Road, existing asphalt',11200.0);
INSERT INTO "returned_spells" VALUES(12,2,'42c8c651c2dde79aabc39a261a273542',1,'Shots','C7',4.61473319444444423417e+04,4.61473333333333357586e+04,'Example Road, existing asphalt',11825.0);
INSERT INTO "returned_spells" VALUES(13,2,'42c8c651c2dde79aabc39a261a273542',2,'Shots','C8',4.61473402777777810118e+04,4.61473416666666671516e+04,'Example Road, existing asphalt',12675.0);
INSERT INTO "returned_spells" VALUES(14,2,'42c8c651c2dde79aabc39a261a273542',3,'Shots','C9',4.61473479166666656963e+04,4.61473493055555591133e+04,'Example Road, existing asphalt',13800.0);
INSERT INTO "returned_spells" VALUES(15,2,'42c8c651c2dde79aabc39a261a273542',4,'Shots','C10',4.61473548611111109496e+04,46147.35625,'Example Road, existing asphalt',13075.0);
INSERT INTO "returned_spells" VALUES(16,2,'42c8c651c2dde79aabc39a261a273542',5,'Shots','C11',4.61474006944444408882e+04,4.61474020833333343051e+04,'Example Road, existing asphalt',12250.0);
INSERT INTO "returned_spells" VALUES(17,2,'42c8c651c2dde79aabc39a261a273542',6,'Shots','C12',4.61474090277777795584e+04,4.61474104166666656981e+04,'Example Road, milled',13800.0);
INSERT INTO "returned_spells" VALUES(18,2,'42c8c651c2dde79aabc39a261a273542',7,'Shots','C13',4.61474159722222248072e+04,4.61474166666666642429e+04,'Example Road, milled',14750.0);
INSERT INTO "returned_spells" VALUES(19,2,'42c8c651c2dde79aabc39a261a273542',8,'Shots','C14',4.61474236111111094961e+04,46147.425,'Example Road, milled',15200.0);
INSERT INTO "returned_spells" VALUES(20,2,'42c8c651c2dde79aabc39a261a273542',9,'Shots','C15',4.61474326388888875932e+04,4.61474333333333343017e+04,'Example Road, milled',14200.0);
INSERT INTO "returned_spells" VALUES(21,2,'42c8c651c2dde79aabc39a261a273542',10,'Shots','C16',4.61474743055555591125e+04,46147.475,'Example Road, right turn lane, new asphalt',15200.0);
INSERT INTO "returned_spells" VALUES(22,2,'42c8c651c2dde79aabc39a261a273542',11,'Shots','C17',4.61474805555555576573e+04,4.61474833333333299368e+04,'Driveway apron and gore, hand spray',16000.0);
INSERT INTO "returned_spells" VALUES(23,3,'42c8c651c2dde79aabc39a261a273542',0,'Shots','C6',4.61473486111111124048e+04,4.61473493055555591133e+04,'Example Road, existing asphalt',11200.0);
INSERT INTO "returned_spells" VALUES(24,3,'42c8c651c2dde79aabc39a261a273542',1,'Shots','C7',4.61473576388888905063e+04,4.61473583333333299376e+04,'Example Road, existing asphalt',11950.0);
INSERT INTO "returned_spells" VALUES(25,3,'42c8c651c2dde79aabc39a261a273542',2,'Shots','C8',4.61473645833333357595e+04,4.61473659722222218993e+04,'Example Road, existing asphalt',12600.0);
INSERT INTO "returned_spells" VALUES(26,3,'42c8c651c2dde79aabc39a261a273542',3,'Shots','C9',4.61473729166666671525e+04,4.61473743055555532923e+04,'Example Road, existing asphalt',13800.0);
INSERT INTO "returned_spells" VALUES(27,3,'42c8c651c2dde79aabc39a261a273542',4,'Shots','C10',4.61473798611111124057e+04,4.61473805555555591142e+04,'Example Road, existing asphalt',12650.0);
INSERT INTO "returned_spells" VALUES(28,3,'42c8c651c2dde79aabc39a261a273542',5,'Shots','C11',4.61474201388888905037e+04,4.61474208333333299394e+04,'Example Road, existing asphalt',11975.0);
INSERT INTO "returned_spells" VALUES(29,3,'42c8c651c2dde79aabc39a261a273542',6,'Shots','C12',4.6147427083333335757e+04,4.61474291666666686052e+04,'Example Road, milled',13800.0);
INSERT INTO "returned_spells" VALUES(30,3,'42c8c651c2dde79aabc39a261a273542',7,'Shots','C13',4.61474354166666671499e+04,46147.4375,'Example Road, milled',15200.0);
INSERT INTO "returned_spells" VALUES(31,3,'42c8c651c2dde79aabc39a261a273542',8,'Shots','C14',46147.48125,4.61474819444444437971e+04,'Example Road, right turn lane, new asphalt',15200.0);
INSERT INTO "returned_spells" VALUES(32,3,'42c8c651c2dde79aabc39a261a273542',9,'Shots','C15',4.61474881944444423418e+04,4.6147491666666668607e+04,'Driveway apron and gore, hand spray',16000.0);
CREATE TABLE returned_stretches (
	id INTEGER NOT NULL, 
	return_id INTEGER NOT NULL, 
	stretch_key VARCHAR(32) NOT NULL, 
	"row" INTEGER NOT NULL, 
	sheet VARCHAR(64) NOT NULL, 
	cell VARCHAR(16) NOT NULL, 
	road VARCHAR(256) NOT NULL, 
	lane VARCHAR(256) NOT NULL, 
	section VARCHAR(64) NOT NULL, 
	work VARCHAR(32) NOT NULL, 
	low DOUBLE NOT NULL, 
	high DOUBLE NOT NULL, 
	width DOUBLE NOT NULL, 
	room DOUBLE NOT NULL, 
	date DOUBLE, 
	start DOUBLE, 
	undiluted DOUBLE, 
	PRIMARY KEY (id), 
	FOREIGN KEY(return_id) REFERENCES returned_books (id)
);
INSERT INTO "returned_stretches" VALUES(1,1,'d8939ea3320e963c701e81cb09e6183b',0,'Shots','G6','Example Road, existing asphalt','EB','S1','tack',11200.0,11950.0,12.0,12.5,46147.0,3.4861111111111109384e-01,83.6);
INSERT INTO "returned_stretches" VALUES(2,1,'d8939ea3320e963c701e81cb09e6183b',1,'Shots','G7','Example Road, existing asphalt','EB','S1','tack',11950.0,12600.0,12.0,12.5,46147.0,3.57638888888888895056e-01,73.5);
INSERT INTO "returned_stretches" VALUES(3,1,'d8939ea3320e963c701e81cb09e6183b',2,'Shots','G8','Example Road, existing asphalt','EB','S1','tack',12600.0,13800.0,12.0,12.5,46147.0,3.64583333333333314829e-01,134.3);
INSERT INTO "returned_stretches" VALUES(4,1,'c194d07f59af6a6b5e802992671147ca',3,'Shots','G9','Example Road, existing asphalt','WB','S1','tack',12650.0,13800.0,12.0,12.5,46147.0,3.72916666666666674068e-01,129.3);
INSERT INTO "returned_stretches" VALUES(5,1,'c194d07f59af6a6b5e802992671147ca',4,'Shots','G10','Example Road, existing asphalt','WB','S1','tack',11975.0,12650.0,12.0,12.5,46147.0,3.7986111111111109384e-01,74.2);
INSERT INTO "returned_stretches" VALUES(6,1,'c194d07f59af6a6b5e802992671147ca',5,'Shots','G11','Example Road, existing asphalt','WB','S1','tack',11200.0,11975.0,12.0,12.5,46147.0,4.20138888888888895056e-01,85.9);
INSERT INTO "returned_stretches" VALUES(7,1,'77cd188b8a0c4ab83e2937ef1a18be66',6,'Shots','G12','Example Road, milled','EB','S2','tack',13800.0,15200.0,12.0,12.5,46147.0,4.27083333333333314829e-01,186.4);
INSERT INTO "returned_stretches" VALUES(8,1,'49269f862def369fefd77b71b711cdda',7,'Shots','G13','Example Road, milled','WB','S2','tack',13800.0,15200.0,12.0,12.5,46147.0,4.35416666666666674068e-01,184.8);
INSERT INTO "returned_stretches" VALUES(9,1,'94a3b9e3ca28b573c3d6b92d9add51d6',8,'Shots','G14','Example Road, right turn lane, new asphalt','RT','S3','tack',15200.0,16000.0,10.0,10.5,46147.0,0.48125,53.4);
INSERT INTO "returned_stretches" VALUES(10,2,'d8939ea3320e963c701e81cb09e6183b',0,'Shots','G6','Example Road, existing asphalt','EB','S1','tack',11200.0,11825.0,12.0,12.5,46147.0,3.25694444444444453079e-01,68.0);
INSERT INTO "returned_stretches" VALUES(11,2,'d8939ea3320e963c701e81cb09e6183b',1,'Shots','G7','Example Road, existing asphalt','EB','S1','tack',11825.0,12675.0,12.0,12.5,46147.0,3.31944444444444430875e-01,94.5);
INSERT INTO "returned_stretches" VALUES(12,2,'d8939ea3320e963c701e81cb09e6183b',2,'Shots','G8','Example Road, existing asphalt','EB','S1','tack',12675.0,13800.0,12.0,12.5,46147.0,3.40277777777777790113e-01,122.0);
INSERT INTO "returned_stretches" VALUES(13,2,'c194d07f59af6a6b5e802992671147ca',3,'Shots','G9','Example Road, existing asphalt','WB','S1','tack',13075.0,13800.0,12.0,12.5,46147.0,3.47916666666666651863e-01,79.6);
INSERT INTO "returned_stretches" VALUES(14,2,'c194d07f59af6a6b5e802992671147ca',4,'Shots','G10','Example Road, existing asphalt','WB','S1','tack',12250.0,13075.0,12.0,12.5,46147.0,3.54861111111111127147e-01,91.8);
INSERT INTO "returned_stretches" VALUES(15,2,'c194d07f59af6a6b5e802992671147ca',5,'Shots','G11','Example Road, existing asphalt','WB','S1','tack',11200.0,12250.0,12.0,12.5,46147.0,4.00694444444444464181e-01,118.9);
INSERT INTO "returned_stretches" VALUES(16,2,'77cd188b8a0c4ab83e2937ef1a18be66',6,'Shots','G12','Example Road, milled','EB','S2','tack',13800.0,14750.0,12.0,12.5,46147.0,4.09027777777777767909e-01,126.2);
INSERT INTO "returned_stretches" VALUES(17,2,'77cd188b8a0c4ab83e2937ef1a18be66',7,'Shots','G13','Example Road, milled','EB','S2','tack',14750.0,15200.0,12.0,12.5,46147.0,4.15972222222222243193e-01,60.3);
INSERT INTO "returned_stretches" VALUES(18,2,'49269f862def369fefd77b71b711cdda',8,'Shots','G14','Example Road, milled','WB','S2','tack',14200.0,15200.0,12.0,12.5,46147.0,4.23611111111111104943e-01,131.6);
INSERT INTO "returned_stretches" VALUES(19,2,'49269f862def369fefd77b71b711cdda',9,'Shots','G15','Example Road, milled','WB','S2','tack',13800.0,14200.0,12.0,12.5,46147.0,4.32638888888888906159e-01,53.1);
INSERT INTO "returned_stretches" VALUES(20,2,'94a3b9e3ca28b573c3d6b92d9add51d6',10,'Shots','G16','Example Road, right turn lane, new asphalt','RT','S3','tack',15200.0,16000.0,10.0,10.5,46147.0,4.74305555555555535818e-01,53.2);
INSERT INTO "returned_stretches" VALUES(21,3,'d8939ea3320e963c701e81cb09e6183b',0,'Shots','G6','Example Road, existing asphalt','EB','S1','tack',11200.0,11950.0,12.0,12.5,46147.0,3.4861111111111109384e-01,83.6);
INSERT INTO "returned_stretches" VALUES(22,3,'d8939ea3320e963c701e81cb09e6183b',1,'Shots','G7','Example Road, existing asphalt','EB','S1','tack',11950.0,12600.0,12.0,12.5,46147.0,3.57638888888888895056e-01,73.5);
INSERT INTO "returned_stretches" VALUES(23,3,'d8939ea3320e963c701e81cb09e6183b',2,'Shots','G8','Example Road, existing asphalt','EB','S1','tack',12600.0,13800.0,12.0,12.5,46147.0,3.64583333333333314829e-01,134.3);
INSERT INTO "returned_stretches" VALUES(24,3,'c194d07f59af6a6b5e802992671147ca',3,'Shots','G9','Example Road, existing asphalt','WB','S1','tack',12650.0,13800.0,12.0,12.5,46147.0,3.72916666666666674068e-01,129.3);
INSERT INTO "returned_stretches" VALUES(25,3,'c194d07f59af6a6b5e802992671147ca',4,'Shots','G10','Example Road, existing asphalt','WB','S1','tack',11975.0,12650.0,12.0,12.5,46147.0,3.7986111111111109384e-01,74.2);
INSERT INTO "returned_stretches" VALUES(26,3,'c194d07f59af6a6b5e802992671147ca',5,'Shots','G11','Example Road, existing asphalt','WB','S1','tack',11200.0,11975.0,12.0,12.5,46147.0,4.20138888888888895056e-01,85.9);
INSERT INTO "returned_stretches" VALUES(27,3,'77cd188b8a0c4ab83e2937ef1a18be66',6,'Shots','G12','Example Road, milled','EB','S2','tack',13800.0,15200.0,12.0,12.5,46147.0,4.27083333333333314829e-01,186.4);
INSERT INTO "returned_stretches" VALUES(28,3,'49269f862def369fefd77b71b711cdda',7,'Shots','G13','Example Road, milled','WB','S2','tack',13800.0,15200.0,12.0,12.5,46147.0,4.35416666666666674068e-01,184.8);
INSERT INTO "returned_stretches" VALUES(29,3,'94a3b9e3ca28b573c3d6b92d9add51d6',8,'Shots','G14','Example Road, right turn lane, new asphalt','RT','S3','tack',15200.0,16000.0,10.0,10.5,46147.0,0.48125,53.4);
CREATE TABLE returned_tickets (
	id INTEGER NOT NULL, 
	return_id INTEGER NOT NULL, 
	ticket_key VARCHAR(32) NOT NULL, 
	"row" INTEGER NOT NULL, 
	sheet VARCHAR(64) NOT NULL, 
	cell VARCHAR(16) NOT NULL, 
	number VARCHAR(256) NOT NULL, 
	supplier VARCHAR(256) NOT NULL, 
	date DOUBLE, 
	mass DOUBLE, 
	volume DOUBLE, 
	base DOUBLE, 
	PRIMARY KEY (id), 
	FOREIGN KEY(return_id) REFERENCES returned_books (id)
);
INSERT INTO "returned_tickets" VALUES(1,1,'4b331a3de38bc5142699f60e28e578e9',0,'Loads','D6','T-36756','Invented plant',46147.0,4200.0,NULL,499.3);
INSERT INTO "returned_tickets" VALUES(2,1,'2079e3e4e0d699df91b2acfadf66888d',1,'Loads','D7','T-36786','Invented plant',46147.0,4080.0,NULL,485.1);
INSERT INTO "returned_tickets" VALUES(3,1,'8dfcb3ef178a413b69225dbe251d9e1e',2,'Loads','D8','T-36795','Invented plant',46147.0,580.0,NULL,68.9);
INSERT INTO "returned_tickets" VALUES(4,2,'491e03f3c1aea465a1fa788b492e4d22',0,'Loads','D6','T-57632','Invented plant',46147.0,4120.0,NULL,489.3);
INSERT INTO "returned_tickets" VALUES(5,2,'a74aefdc04352512eac6120e0251d55b',1,'Loads','D7','T-57664','Invented plant',46147.0,3920.0,NULL,466.0);
INSERT INTO "returned_tickets" VALUES(6,2,'985a74f5bb22ddbbb2d881726b206b06',2,'Loads','D8','T-57672','Invented plant',46147.0,880.0,NULL,104.6);
INSERT INTO "returned_tickets" VALUES(7,3,'4b331a3de38bc5142699f60e28e578e9',0,'Loads','D6','T-36756','Invented plant',46147.0,4200.0,NULL,499.3);
INSERT INTO "returned_tickets" VALUES(8,3,'2079e3e4e0d699df91b2acfadf66888d',1,'Loads','D7','T-36786','Invented plant',46147.0,4080.0,NULL,485.1);
INSERT INTO "returned_tickets" VALUES(9,3,'8dfcb3ef178a413b69225dbe251d9e1e',2,'Loads','D8','T-36795','Invented plant',46147.0,580.0,NULL,68.9);
CREATE INDEX ix_returned_rechecks_return_id ON returned_rechecks (return_id);
CREATE INDEX ix_returned_tickets_ticket_key ON returned_tickets (ticket_key);
CREATE INDEX ix_returned_tickets_return_id ON returned_tickets (return_id);
CREATE INDEX ix_returned_stretches_return_id ON returned_stretches (return_id);
CREATE INDEX ix_returned_stretches_stretch_key_low ON returned_stretches (stretch_key, low);
CREATE INDEX ix_returned_spells_return_id ON returned_spells (return_id);
CREATE INDEX ix_returned_spells_machine_key_began ON returned_spells (machine_key, began);
COMMIT;
