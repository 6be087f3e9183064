<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE TS>
<TS version="2.1" language="en" sourcelanguage="en">
<context>
    <name>FilterBar</name>
    <message numerus="yes">
        <source>%n record(s)</source>
        <translation>
            <numerusform>%n record</numerusform>
            <numerusform>%n records</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>HistoryView</name>
    <message numerus="yes">
        <source>%n questioned record(s) left out</source>
        <translation>
            <numerusform>%n questioned record left out</numerusform>
            <numerusform>%n questioned records left out</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>ImportReport</name>
    <message numerus="yes">
        <source>%n record(s)</source>
        <translation>
            <numerusform>%n record</numerusform>
            <numerusform>%n records</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n row(s) can&apos;t be read</source>
        <translation>
            <numerusform>%n row can&apos;t be read</numerusform>
            <numerusform>%n rows can&apos;t be read</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>LearnedCard</name>
    <message numerus="yes">
        <source>Not counted here: %n record(s) of another place.</source>
        <translation>
            <numerusform>Not counted here: %n record of another place.</numerusform>
            <numerusform>Not counted here: %n records of another place.</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n record(s)</source>
        <translation>
            <numerusform>%n record</numerusform>
            <numerusform>%n records</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>No longer counted: %n older record(s).</source>
        <translation>
            <numerusform>No longer counted: %n older record.</numerusform>
            <numerusform>No longer counted: %n older records.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>RecordFiles</name>
    <message numerus="yes">
        <source>%n record(s) written: {path}</source>
        <translation>
            <numerusform>%n record written: {path}</numerusform>
            <numerusform>%n records written: {path}</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n record(s) taken in from {name}.</source>
        <translation>
            <numerusform>%n record taken in from {name}.</numerusform>
            <numerusform>%n records taken in from {name}.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>RecordsPage</name>
    <message numerus="yes">
        <source>%n record(s) deleted; undo brings them back</source>
        <translation>
            <numerusform>%n record deleted; undo brings them back</numerusform>
            <numerusform>%n records deleted; undo brings them back</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>Delete %n record(s)</source>
        <translation>
            <numerusform>Delete %n record</numerusform>
            <numerusform>Delete %n records</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>SeasonWords</name>
    <message numerus="yes">
        <source>bare · %n days</source>
        <translation>
            <numerusform>bare · %n day</numerusform>
            <numerusform>bare · %n days</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n d</source>
        <comment>days, short</comment>
        <translation>
            <numerusform>%n d</numerusform>
            <numerusform>%n d</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>crowded · %n days</source>
        <translation>
            <numerusform>crowded · %n day</numerusform>
            <numerusform>crowded · %n days</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>StartPart</name>
    <message numerus="yes">
        <source>%n layer(s)</source>
        <translation>
            <numerusform>%n layer</numerusform>
            <numerusform>%n layers</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n left</source>
        <translation>
            <numerusform>%n stays</numerusform>
            <numerusform>%n stay</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n layer(s) planted in another season keep their day.</source>
        <translation>
            <numerusform>%n layer planted in another season keeps its day.</numerusform>
            <numerusform>%n layers planted in another season keep their day.</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n layer(s) planted in earlier years keep their day.</source>
        <translation>
            <numerusform>%n layer planted in an earlier year keeps its day.</numerusform>
            <numerusform>%n layers planted in earlier years keep their day.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>WeatherPage</name>
    <message numerus="yes">
        <source>%n day(s)</source>
        <translation>
            <numerusform>%n day</numerusform>
            <numerusform>%n days</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n recorded day(s)</source>
        <translation>
            <numerusform>%n recorded day</numerusform>
            <numerusform>%n recorded days</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>, %n missing day(s) bridged</source>
        <translation>
            <numerusform>, %n missing day bridged</numerusform>
            <numerusform>, %n missing days bridged</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>, %n day(s) left to the weather years</source>
        <translation>
            <numerusform>, %n day left to the weather years</numerusform>
            <numerusform>, %n days left to the weather years</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>WeatherPart</name>
    <message numerus="yes">
        <source>all %n weather year(s)</source>
        <translation>
            <numerusform>the only weather year</numerusform>
            <numerusform>all %n weather years</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>WorkModel</name>
    <message numerus="yes">
        <source>%n task(s)</source>
        <translation>
            <numerusform>%n task</numerusform>
            <numerusform>%n tasks</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>and %n more</source>
        <translation>
            <numerusform>and %n more</numerusform>
            <numerusform>and %n more</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>every %n day(s)</source>
        <translation>
            <numerusform>every %n day</numerusform>
            <numerusform>every %n days</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>→ %n day(s)</source>
        <translation>
            <numerusform>→ %n day</numerusform>
            <numerusform>→ %n days</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>← %n day(s)</source>
        <translation>
            <numerusform>← %n day</numerusform>
            <numerusform>← %n days</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n day(s) later than last time</source>
        <translation>
            <numerusform>%n day later than last time</numerusform>
            <numerusform>%n days later than last time</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n day(s) earlier than last time</source>
        <translation>
            <numerusform>%n day earlier than last time</numerusform>
            <numerusform>%n days earlier than last time</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>WorkPage</name>
    <message numerus="yes">
        <source>%n task(s) moved since last time; State says how far.</source>
        <translation>
            <numerusform>%n task moved since last time; State says how far.</numerusform>
            <numerusform>%n tasks moved since last time; State says how far.</numerusform>
        </translation>
    </message>
    <message numerus="yes">
        <source>%n task(s) to do</source>
        <translation>
            <numerusform>%n task to do</numerusform>
            <numerusform>%n tasks to do</numerusform>
        </translation>
    </message>
</context>
</TS>
